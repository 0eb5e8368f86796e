#pragma once
// Traces of millions of samples, made small enough to draw.
#include <cstddef>
#include <span>
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold {

// y[i] stands for the samples in [i * step_s, (i + 1) * step_s).
struct PeakTrace {
    double step_s = 0.0;
    std::vector<float> y;
    std::vector<float> low;  // the smallest of each stretch, for pictures that show both
};

// The largest value of each of at most max_values equal stretches of whole samples, so that no peak is lost however
// short. In: samples, NaN = masked; max_values >= 1. Out: NaN where a stretch has no valid sample. Edges: the last
// stretch may be shorter; no samples give no values.
PeakTrace keep_peaks(std::span<const float> samples, Hertz rate, std::size_t max_values);

}  // namespace tracehold
