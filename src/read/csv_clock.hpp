#pragma once
// From the stamps of a time column to an even axis.
//
// The step m is the mean over all steps that are neither gaps nor jumps back, so that its error is that of the first
// and last stamp over the whole length. A row that comes later than expected by more than half a step (a step above 1.5
// m), and is not the end of a burst of rows that came too early, follows a gap of whole steps. Stamps in blocks (whole
// seconds, packets) are bursts: m comes from the beginnings of the blocks, and a gap must be longer than half a block.
// Limits: a gap shorter than the resolution of the stamps cannot be seen. After a jump back in time the samples go on
// behind a gap of one step, since nothing tells how long the interruption was. A rate that changes for good inside the file is
// refused with its place, never averaged.
#include <cstddef>
#include <string>
#include <vector>

#include "read/csv_times.hpp"
#include "tracehold/core/note.hpp"

namespace tracehold {

struct StampSettings {
    double resolution = 0.0;  // one unit of the last decimal of a stamp; 0 = unknown, taken as exact
    std::string source{};
};

// Before this row, so many steps of the axis have no sample.
struct TimeJump {
    std::size_t row = 0;
    std::size_t missing = 0;
};

struct EvenAxis {
    double step = 1.0;       // in the unit of the stamps
    double tolerance = 0.0;  // of the step, relative: what the resolution of the stamps leaves open
    std::vector<TimeJump> jumps;
    std::vector<Note> notes;
};

// In: stamps of the rows, NaN where unreadable (then interpolated). Errors: malformed (time that never moves on, goes
// back more than 10 times, or changes its rate), too_short (fewer than two stamps).
EvenAxis even_axis(const TimesView& stamps, const StampSettings& settings);

}  // namespace tracehold
