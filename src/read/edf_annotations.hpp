#pragma once
// The texts and record times that EDF+ and BDF+ keep in their annotation signals.
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "read/edf_header.hpp"
#include "read/edf_notes.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

// onsets: of each record, seconds from the header's start; empty where the record's time stamp is missing or damaged.
// No onsets at all without an annotation signal. marks: in the order of the file, time_s still from the header's start.
struct EdfAnnotations {
    std::vector<std::optional<double>> onsets;
    std::vector<Mark> marks;
    std::string begins = {};  // of each record, what stands where its time stamp begins; '+' where nothing stands at all
};

// One time-stamped annotation list: +onset [0x15 duration] 0x14 text 0x14 text 0x14, without its closing NUL.
struct EdfTal {
    double onset_s = 0.0;
    double duration_s = 0.0;
    std::vector<std::string> texts;  // UTF-8; an empty first one is a record's time stamp
};

// Empty if the onset is no number or no 0x14 follows. place: for the notes.
// Source: EDF+ specification, 2.2.2 and 2.2.4. Beyond it, each with a Note: a decimal comma, a missing sign, an
// unreadable duration (taken as none), a missing last 0x14, Latin-1 text.
std::optional<EdfTal> parse_edf_tal(std::string_view bytes, const std::string& place, EdfNotes& notes);

// Errors: malformed where from one record on nearly every time stamp stands beside its place: bytes were lost or added ahead of it,
// and every sample behind is at a wrong place. EDF+ specification, 2.2.4: the stamp is the first list of a record.
void refuse_out_of_step(const EdfHeader& header, const EdfAnnotations& annotations, const std::string& source);

// All annotation signals of all records. Damaged lists are passed over with a Note that says where.
// Limit: a million marks; the rest is left out with a Note.
EdfAnnotations read_edf_annotations(std::string_view bytes, const EdfHeader& header, EdfNotes& notes);

}  // namespace tracehold
