#pragma once
#include <span>

#include "tracehold/core/units.hpp"

namespace tracehold {

// The fourth moment over the square of the second, mean over the loud half seconds (RMS above half of loud_uv), with
// its standard error. Of muscle: 3 (Gaussian) to well above (few motor units); below where a recorder bends its
// strongest activity.
struct Peakedness {
    double kurtosis = 3.0, error = 0.0;
};

// In: uv band-passed, NaN where masked. Edges: 3 without error where fewer than 10 half seconds tell.
Peakedness loud_peakedness(std::span<const float> uv, Hertz rate, double loud_uv);

}  // namespace tracehold
