#pragma once
// Wall clocks that are set to summer or winter time while a recorder runs.
#include <optional>
#include <vector>

#include "read/csv_times.hpp"
#include "tracehold/core/note.hpp"

namespace tracehold {

// In: clocks of the rows in seconds, without offsets from UTC, NaN where unreadable; one unit of their last decimal. Out:
// the same with every jump of an hour, forth or back, taken out, and a Note; empty where there is none. A jump is one of an
// hour if what it leaves beside the hour is between no time and two steps: a recorder that pauses for an hour to the
// sample is not to be expected, and an hour of silence would move every later cue.
std::optional<std::vector<double>> without_clock_changes(const TimesView& clock_s, double resolution_s,
                                                         std::vector<Note>& notes);

}  // namespace tracehold
