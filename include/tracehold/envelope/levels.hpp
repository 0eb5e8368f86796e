#pragma once
// Levels that run under an envelope, and taking them away.
#include <span>
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold {

// The 5th percentile of the means over successive whole seconds with at least 70 % valid samples; a recording without
// such a second gives the lowest valid sample, without any valid sample 0.
double noise_floor(std::span<const float> envelope_uv, Hertz rate);

// sqrt(max(0, e^2 - n^2)); NaN stays NaN. 0 means that the noise floor hides the activity.
double subtract_noise(double envelope_uv, double noise_uv);

// The lower decile of the valid samples within 15 s on either side, found once a second and linear between.
// Out: same length; NaN where those 30 s hold no valid sample.
std::vector<float> running_lower_decile(std::span<const float> envelope_uv, Hertz rate);

}  // namespace tracehold
