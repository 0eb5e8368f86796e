#pragma once
#include <span>

#include "clean/half_seconds.hpp"

namespace tracehold {

// The fourth moment over the square of the second, mean over the loud half seconds, with its standard
// error. Of muscle: 3 (Gaussian) to well above (few motor units); below where a recorder bends its
// strongest activity.
struct Peakedness {
    double kurtosis = 3.0, error = 0.0;
};

// In: uv band-passed; loud: loud_ones of it, of so many samples each. Edges: 3 without error where they are fewer than 10.
Peakedness peakedness(std::span<const float> uv, std::span<const HalfSecond> loud, std::size_t samples);

}  // namespace tracehold
