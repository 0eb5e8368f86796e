#pragma once
// Stretches of a recording whose very same samples come again elsewhere: a block written twice, or a trace pieced together.
#include <span>

#include "tracehold/core/units.hpp"

namespace tracehold {

// About how long the parts are whose very same samples came before. Looked at are stretches of 64 samples, one in 64, which
// ones told by their samples alone. Only those of 16 different values or more count: rest below the digits and a trace that
// stands still repeat all the time, noise of so many values does in one of 2^64 pairs.
// In: samples as recorded. Cost: a few operations a sample, 8 bytes for each stretch looked at.
double copied_seconds(std::span<const float> samples, Hertz rate);

}  // namespace tracehold
