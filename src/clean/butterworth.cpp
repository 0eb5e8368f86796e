// From the unit-circle poles p of the analog prototype to the digital filter:
//   corner       w = tan(pi fc / fs)                       (pre-warping, so that the digital corner is exact)
//   low-pass     s = w p;   high-pass  s = w / p           (frequency transformation)
//   bilinear     z = (1 + s) / (1 - s)                     (zeros: low-pass at z = -1, high-pass at z = +1)
// Each conjugate pair of poles with two of the zeros makes one section, scaled to gain 1 in the middle of the pass band
// (z = 1 for low-pass, z = -1 for high-pass). Sections keep double precision sound where a single polynomial would not:
// a 20-Hz corner at 10 kHz has poles within 0.5 % of the unit circle.
#include "tracehold/clean/butterworth.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "tracehold/core/error.hpp"

namespace tracehold {
namespace {

using Complex = std::complex<double>;

void check(int order, Hertz corner, Hertz rate) {
    constexpr int kHighestOrder = 12;  // beyond it no one filters surface EMG
    if (order < 1 || order > kHighestOrder) {
        throw Error{ErrorKind::bad_setting, "", "filter order",
                    fmt::format("order out of range: saw {}, expected 1 to {}", order, kHighestOrder)};
    }
    if (!(rate.value > 0.0) || !(corner.value > 0.0) || !(corner.value < rate.value / 2)) {
        throw Error{
            ErrorKind::bad_setting, "", "filter corner",
            fmt::format("corner out of range: saw {} Hz at a rate of {} Hz, expected above 0 and below half the rate",
                        corner.value, rate.value),
            "choose a lower corner, or a recording of a higher rate"};
    }
}

double prewarped(Hertz frequency, Hertz rate) { return std::tan(std::numbers::pi * frequency.value / rate.value); }
Hertz unwarped(double w, Hertz rate) { return Hertz{std::atan(w) * rate.value / std::numbers::pi}; }

Complex bilinear(Complex s) { return (1.0 + s) / (1.0 - s); }

// zero: -1 for low-pass, +1 for high-pass; the gain is 1 at z = -zero.
FilterSection pair_section(Complex pole, double zero) {
    FilterSection section{1.0, -2.0 * zero, 1.0, -2.0 * pole.real(), std::norm(pole)};
    const double gain = (1.0 - zero * section.a1 + section.a2) / 4.0;
    section.b0 *= gain;
    section.b1 *= gain;
    section.b2 *= gain;
    return section;
}

FilterSection single_section(double pole, double zero) {
    const double gain = (1.0 + zero * pole) / 2.0;
    return {gain, -zero * gain, 0.0, -pole, 0.0};
}

template <class Transform>
std::vector<FilterSection> design(int order, double zero, Transform to_analog) {
    const auto poles = butterworth_poles(order);
    std::vector<FilterSection> sections;
    std::size_t i = 0;
    for (; i + 1 < poles.size(); i += 2) sections.push_back(pair_section(bilinear(to_analog(poles[i])), zero));
    if (i < poles.size()) sections.push_back(single_section(bilinear(to_analog(poles[i])).real(), zero));
    return sections;
}

}  // namespace

std::vector<Complex> butterworth_poles(int order) {
    std::vector<Complex> poles;
    for (int k = 0; k < order / 2; ++k) {
        const double angle = std::numbers::pi * (2 * k + 1 + order) / (2 * order);
        poles.push_back(std::polar(1.0, angle));
        poles.push_back(std::conj(poles.back()));
    }
    if (order % 2 == 1) poles.emplace_back(-1.0);
    return poles;
}

std::vector<FilterSection> butterworth_low_pass(int order, Hertz corner, Hertz rate) {
    check(order, corner, rate);
    const double w = prewarped(corner, rate);
    return design(order, -1.0, [w](Complex p) { return w * p; });
}

std::vector<FilterSection> butterworth_high_pass(int order, Hertz corner, Hertz rate) {
    check(order, corner, rate);
    const double w = prewarped(corner, rate);
    return design(order, 1.0, [w](Complex p) { return w / p; });
}

double pass_factor(int order, int passes) { return std::pow(std::pow(2.0, 1.0 / passes) - 1.0, 1.0 / (2.0 * order)); }

Hertz low_pass_corner_for_two_passes(int order, Hertz corner, Hertz rate) {
    check(order, corner, rate);
    return unwarped(prewarped(corner, rate) / pass_factor(order, 2), rate);
}

Hertz high_pass_corner_for_two_passes(int order, Hertz corner, Hertz rate) {
    check(order, corner, rate);
    return unwarped(prewarped(corner, rate) * pass_factor(order, 2), rate);
}

Complex response(std::span<const FilterSection> sections, Hertz frequency, Hertz rate) {
    const Complex back = std::polar(1.0, -2.0 * std::numbers::pi * frequency.value / rate.value);  // z^-1
    Complex product = 1.0;
    for (const FilterSection& s : sections) {
        product *= (s.b0 + back * (s.b1 + back * s.b2)) / (1.0 + back * (s.a1 + back * s.a2));
    }
    return product;
}

}  // namespace tracehold
