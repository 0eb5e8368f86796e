#pragma once
// What the header of an EDF or BDF file says, made consistent with the bytes that are really there.
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "read/edf_notes.hpp"
#include "tracehold/core/civil_time.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

struct EdfSignal {
    std::size_t number = 0;  // from 1, as in the file
    std::string label;
    std::string unit;
    std::string prefilter;
    std::optional<double> physical_min, physical_max, digital_min, digital_max;  // empty: no number there
    std::size_t header_byte = 0;                                                 // of its physical minimum
    std::size_t samples = 0;                                                     // in one record
    std::size_t record_byte = 0;                                                 // where they begin inside a record
    bool is_annotations = false;
};

// Always true: header_bytes + records * record_bytes <= size of the file; records, record_bytes and record_s > 0;
// at least one signal that is no annotation has samples.
struct EdfHeader {
    FileFormat format = FileFormat::edf;
    std::string person;
    std::optional<CivilTime> start;  // as the header says, a whole second
    std::size_t sample_bytes = 2;
    std::size_t header_bytes = 0;
    std::size_t record_bytes = 0;
    std::size_t records = 0;
    double record_s = 1.0;
    std::vector<EdfSignal> signals;

    bool is_plus() const { return format != FileFormat::edf && format != FileFormat::bdf; }
    bool is_discontinuous() const { return format == FileFormat::edf_plus_d || format == FileFormat::bdf_plus_d; }
};

// Errors: not_recognised, malformed, unsupported, too_short, each with byte and field.
// Source: Kemp et al. 1992 (EDF); Kemp & Olivan 2003 (EDF+); BDF as the 24-bit form of both.
EdfHeader read_edf_header(std::string_view bytes, const std::string& source, EdfNotes& notes);

// True if header length, signal count, record count and record duration agree, whatever the version field says.
bool is_edf_but_for_version(std::string_view bytes);

}  // namespace tracehold
