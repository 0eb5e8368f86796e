#pragma once
#include <span>

#include "clean/ranges.hpp"

namespace tracehold {

// Single samples, or a few within 3 ms, that leave the trace around them by more than any muscle does.
// In: the trace before filtering, NaN where masked. Out: the samples to mask, with 2 ms on either side.
Ranges find_spikes(std::span<const float> samples, Hertz rate);

}  // namespace tracehold
