#pragma once
// What a trace shows in half seconds, all from one pass of spectra over it.
#include <span>
#include <vector>

#include "clean/line_blocks.hpp"
#include "tracehold/clean/welch.hpp"

namespace tracehold {

// Ranges in which muscle and noise differ: see broadband.cpp.
inline constexpr Hertz kLowerBegin{65.0}, kLowerEnd{175.0}, kUpperBegin{300.0}, kUpperEnd{440.0};

struct HalfSecond {
    std::size_t begin = 0;
    double power = 0.0;                // mean square
    double lower = 0.0, upper = 0.0;  // densities in those ranges; 0 where the spectrum ends below
    double line = 0.0;                 // share of the power that its strongest line carries
};

struct HalfSeconds {
    std::size_t samples = 0;            // of each
    std::vector<HalfSecond> whole;      // side by side, those of which nothing is masked
    PowerSpectrum spectrum;             // as welch_spectrum gives it for half seconds
    std::vector<LineBlocks> hum;        // line_blocks for kMains_hz
};

// Those whose RMS is above half of loud_uv.
std::vector<HalfSecond> loud_ones(const HalfSeconds& halves, double loud_uv);

// In: band-passed trace, NaN where masked; highest: the end of its band.
HalfSeconds look_at_half_seconds(std::span<const float> uv, Hertz rate, Hertz highest);

}  // namespace tracehold
