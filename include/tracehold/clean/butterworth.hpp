#pragma once
// Butterworth filters, designed step by step: analog poles, pre-warped bilinear transform, second-order sections.
// Source: Butterworth 1930; bilinear transform as in Oppenheim & Schafer, Discrete-Time Signal Processing, ch. 7.
#include <complex>
#include <span>
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold {

// y[i] = b0 x[i] + b1 x[i-1] + b2 x[i-2] - a1 y[i-1] - a2 y[i-2]. First-order sections have b2 = a2 = 0.
struct FilterSection {
    double b0 = 1.0, b1 = 0.0, b2 = 0.0;
    double a1 = 0.0, a2 = 0.0;
    bool operator==(const FilterSection&) const = default;
};

// Poles of the analog low-pass with its corner at 1 rad/s: the left half of the unit circle, conjugates side by side, a
// real one last. In: order >= 1.
std::vector<std::complex<double>> butterworth_poles(int order);

// corner: -3.0103 dB point of one pass. Errors: bad_setting unless 1 <= order <= 12 and 0 < corner < rate / 2.
std::vector<FilterSection> butterworth_low_pass(int order, Hertz corner, Hertz rate);
std::vector<FilterSection> butterworth_high_pass(int order, Hertz corner, Hertz rate);

// C = (2^(1/passes) - 1)^(1/(2 order)): by how much the pre-warped corner of each pass must move (low-pass divided by
// it, high-pass multiplied) so that the whole run of several passes is at -3.01 dB at the stated corner. Source:
// Winter, Biomechanics and Motor Control of Human Movement, 4th ed., section 2.2.4 (from memory), any number of passes.
double pass_factor(int order, int passes);

// The corner for the design of one pass, so that two passes (forward and backward) have their -3.01 dB point at
// `corner`.
Hertz low_pass_corner_for_two_passes(int order, Hertz corner, Hertz rate);
Hertz high_pass_corner_for_two_passes(int order, Hertz corner, Hertz rate);

// Frequency response of one pass.
std::complex<double> response(std::span<const FilterSection> sections, Hertz frequency, Hertz rate);

}  // namespace tracehold
