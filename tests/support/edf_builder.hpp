#pragma once
// Builds EDF and BDF files byte by byte, right by default and wrong on request.
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace tracehold::test {

// Where fields of the header stand in a file of one signal. Source: EDF specification 1992.
inline constexpr std::size_t kReserved = 192, kRecords = 236, kLabel = 256, kUnit = 352, kPhysicalMin = 360, kPhysicalMax = 368,
                             kDigitalMin = 376, kDigitalMax = 384, kSamples = 472;

struct BuiltSignal {
    std::string label = "EMG PFM";
    std::string unit = "uV";
    std::string physical_min = "-500";
    std::string physical_max = "500";
    std::string digital_min = "-2048";
    std::string digital_max = "2047";
    std::string prefilter = "HP:20Hz LP:450Hz";
    std::size_t samples = 0;               // per record
    std::vector<std::int32_t> digital;     // all records in a row; short ones are filled with a small wave
    std::vector<std::string> annotations;  // instead of digital: the bytes of each record, filled up with NUL
};

// A signal of record times and texts.
BuiltSignal annotation_signal(std::vector<std::string> of_records, std::size_t samples = 30, bool bdf = false);

// "+1" -> the empty list that stamps a record, with its end mark and NUL.
std::string stamp(std::string_view onset);
// "+1.5", "0.5", "contract" -> a list with one text; duration may be empty.
std::string tal(std::string_view onset, std::string_view duration, std::string_view text);

struct BuiltEdf {
    bool bdf = false;
    std::string patient = "X X X X";
    std::string recording = "Startdate 02-MAR-2026 X X X";
    std::string date = "02.03.26";
    std::string time = "07.30.05";
    std::string reserved;  // "EDF+C" ...
    std::size_t records = 2;
    std::string record_count;  // "" = as many as records
    std::string duration = "1";
    std::vector<BuiltSignal> signals;

    std::string bytes() const;
};

// Two records of one second: one raw signal of 200 Hz and, in the plus form, one annotation signal.
BuiltEdf small_edf();
BuiltEdf small_edf_plus(std::string_view kind = "EDF+C");

// The bytes with one header field replaced. byte: its offset; the text is filled up with blanks to width.
std::string patched(std::string bytes, std::size_t byte, std::size_t width, std::string_view text);

}  // namespace tracehold::test
