#pragma once
// How much rest varies from stretch to stretch of a session, and whether something stands above it by more than that.
#include <span>
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold {

// A power of any unit at equal steps; NaN where the trace is masked.
struct PowerSteps {
    double step_s = 0.01;
    double origin_s = 0.0;
    std::vector<double> power;
};

// Two stretches of rest: how far apart and how different.
struct RestDifference {
    double apart_s = 0.0;
    double log_ratio = 0.0;  // size of the difference of their log powers
};

struct RestVariation {
    std::vector<unsigned char> is_rest;       // steps well away from all cue windows
    std::vector<RestDifference> differences;  // of all pairs, nearest first
    double floor = 0.0;                       // power below which nothing is told apart: where rest is digital silence
};

// 1 for each step well away from all windows. In: windows in order.
std::vector<unsigned char> far_from_cues(double origin_s, double step_s, std::size_t steps,
                                         std::span<const TimeSpan> windows);

RestVariation rest_variation(const PowerSteps& steps, std::span<const TimeSpan> windows);

// True if the median power of the span exceeds that of the nearest rest before it and of the nearest after it, each by
// more than rest differs from itself over such a distance, or by three times its amplitude; so far above one of them,
// the other may be asked at its far end, as after a late release; and it is true where each side has 0.3 s of rest a third as
// high. Edges: a side without rest is not asked; with
// neither, or with too few pairs of rests to know how they differ, nothing speaks against it and the answer is true.
bool above_rest(const PowerSteps& steps, const RestVariation& rest, TimeSpan core, TimeSpan whole);

}  // namespace tracehold
