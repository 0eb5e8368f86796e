#pragma once
// An amplitude that is none yet: the trace without its sign, never smoothed.
#include <span>

#include "tracehold/core/units.hpp"

namespace tracehold {

// The share of samples that lie below a tenth of the mean of their neighbours, of those amid loud ones (a quarter of a
// second on either side above half of loud_uv). Of rectified noise it is 6 to 8 %: P(|x| < 0.1 E|x|) = 0.064 for Gaussian
// x, 0.08 where rest is amid it; an amplitude smoothed over 25 ms or more does not fall there.
// In: uv in µV, NaN where masked. Edges: 0 where fewer than 100 samples tell, and at rates below 8 Hz.
double share_near_zero(std::span<const float> uv, Hertz rate, double loud_uv);

}  // namespace tracehold
