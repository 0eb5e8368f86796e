#pragma once
// Where each record stands in time.
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "read/edf_header.hpp"
#include "read/edf_notes.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

// A first record stamped further than this from the header's start leaves the true start unknown. Our choice: a day.
inline constexpr double kMaxStartShift_s = 86400.0;

// Records that follow each other without a gap.
struct EdfRun {
    std::size_t first_record = 0;
    std::size_t records = 0;
    double start_s = 0.0;  // from the start of the first record
    bool operator==(const EdfRun&) const = default;
};

// Always true: runs cover all records in the order of the file, none starts before the one ahead of it ends, the first
// at 0.
struct EdfTimeline {
    double origin_s = 0.0;  // of the first record, from the header's start
    double length_s = 0.0;  // end of the last record
    std::vector<EdfRun> runs;
    std::vector<TimeSpan> gaps;
};

// How long a record lasts by the stamps, where they all agree on another length than the header, else header.record_s.
//
// Three stamps at the least. A tenth of a percent is the drift of a clock and left alone. Up to 5 % the stamps are followed,
// with a doubt: they are many where the header is one number, the marks are in their time, and should they be wrong after all,
// no time is off by more than that share. Beyond that no number can be believed. With steps longer than a record, a
// discontinuous file may mean that it paused after each one: then gaps are kept, with a doubt. Limits: our choice.
// Errors: malformed, naming both lengths.
double stamped_record_s(const EdfHeader& header, std::span<const std::optional<double>> onsets, const std::string& source,
                        EdfNotes& notes);

// The order of the file is taken as the truth, because recorders write as they record while their clocks get set. A
// record stamped later than the end of the one ahead of it opens a gap; one stamped earlier is put right behind it
// (Note), and later stamps are understood as of the clock that was set back; one without a stamp follows directly
// (Note). Steps off by less than half a sample of the fastest signal, or 2 ms, are rounding or drift of the clock and
// open no gap; a drift that adds up gets a Note. In: onsets as in EdfAnnotations, empty for files without them. Errors:
// unsupported, naming the gap, if the gaps would need more samples than the limits below.
EdfTimeline lay_out_edf_records(const EdfHeader& header, std::span<const std::optional<double>> onsets,
                                const std::string& source, EdfNotes& notes);

// Where each run begins among the samples of one signal, and, last, how many samples there are.
std::vector<std::size_t> edf_run_begins(const EdfHeader& header, const EdfTimeline& timeline, const EdfSignal& signal);

}  // namespace tracehold
