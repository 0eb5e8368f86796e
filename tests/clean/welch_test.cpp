#include "tracehold/clean/welch.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "support/shaped_noise.hpp"

using namespace tracehold;
using namespace tracehold::testing;
using doctest::Approx;

namespace {

double power(const PowerSpectrum& s) {
    double sum = 0.0;
    for (const double g : s.uv2_per_hz) sum += g * s.step_hz;
    return sum;
}

// A made-up spectrum for the band functions: one bin a hertz.
PowerSpectrum made(std::vector<double> density) { return {1.0, std::move(density), 1000}; }

}  // namespace

TEST_CASE("the density of a sine adds up to half its squared amplitude") {
    std::vector<float> sine(20000);
    for (std::size_t i = 0; i < sine.size(); ++i) {
        sine[i] = static_cast<float>(10.0 * std::sin(2 * std::numbers::pi * 100.0 * static_cast<double>(i) / 2000.0));
    }
    const auto s = welch_spectrum(sine, Hertz{2000.0}, 1000);
    CHECK(power(s) == Approx(50.0).epsilon(1e-6));
    CHECK(s.step_hz == 2.0);
    CHECK(s.uv2_per_hz[50] > s.uv2_per_hz[49]);
    CHECK(s.segments == 39);
}

TEST_CASE("white noise is flat at twice its variance over the rate") {
    const auto s = welch_spectrum(white_noise(400000, 3), Hertz{2000.0}, 1000);
    double mean = 0.0;
    for (std::size_t k = 5; k < 495; ++k) mean += s.uv2_per_hz[k] / 490.0;
    CHECK(mean == Approx(2.0 / 2000.0).epsilon(0.01));
}

TEST_CASE("simulated muscle has the total and the frequencies of its closed form") {
    // Form: Shwedyk 1977, Stulen & De Luca 1981; values computed: total 41.887902, median 95.674 Hz and mean 115.486 Hz
    // in 20-450 Hz.
    double total = 0.0;  // by the midpoint rule, far beyond half the rate
    for (double f = 0.005; f < 200000.0; f += f < 2000.0 ? 0.01 : 1.0)
        total += muscle_density(f) * (f < 2000.0 ? 0.01 : 1.0);
    CHECK(total == Approx(41.887902).epsilon(1e-4));
    CHECK(std::numbers::pi * 120.0 * 120.0 * 120.0 * 120.0 / (4.0 * 120.0 * 180.0 * 180.0) ==
          Approx(41.887902).epsilon(1e-7));
    const auto noise = shaped_noise(1 << 20, 4000.0, 11, muscle_density);
    const auto s = welch_spectrum(noise, Hertz{4000.0}, 2000);
    CHECK(power(s) == Approx(41.887902).epsilon(0.01));
    CHECK(*median_frequency_hz(s, Hertz{20.0}, Hertz{450.0}) == Approx(95.674).epsilon(0.01));
    CHECK(*mean_frequency_hz(s, Hertz{20.0}, Hertz{450.0}) == Approx(115.486).epsilon(0.01));
}

TEST_CASE("median and mean frequency of made-up spectra follow from the drawing") {
    const auto flat = made(std::vector<double>(500, 2.0));
    CHECK(*median_frequency_hz(flat, Hertz{20.0}, Hertz{450.0}) == Approx(235.0).epsilon(1e-9));
    CHECK(*mean_frequency_hz(flat, Hertz{20.0}, Hertz{450.0}) == Approx(235.0).epsilon(1e-6));
    std::vector<double> line(500, 0.0);
    line[80] = 1.0;
    CHECK(*median_frequency_hz(made(line), Hertz{20.0}, Hertz{450.0}) == Approx(80.0));
    CHECK(!median_frequency_hz(made(std::vector<double>(500, 0.0)), Hertz{20.0}, Hertz{450.0}));
    CHECK(!mean_frequency_hz(PowerSpectrum{}, Hertz{20.0}, Hertz{450.0}));
}

TEST_CASE("the statistical bandwidth of a box is its width") {
    std::vector<double> box(500, 0.0);
    std::fill(box.begin() + 50, box.begin() + 150, 3.0);
    CHECK(statistical_bandwidth_hz(made(box)) == Approx(100.0).epsilon(0.002));
    CHECK(statistical_bandwidth_hz(PowerSpectrum{}) == 0.0);
    // Of noise: 430 Hz wide, from few segments and from many alike.
    const auto in_band = [](double f) { return f >= 20.0 && f < 450.0 ? 1.0 : 0.0; };
    const auto noise = shaped_noise(200000, 2000.0, 4, in_band);
    CHECK(statistical_bandwidth_hz(welch_spectrum(noise, Hertz{2000.0}, 1000)) == Approx(430.0).epsilon(0.02));
    CHECK(statistical_bandwidth_hz(welch_spectrum(std::span(noise).first(8000), Hertz{2000.0}, 1000)) ==
          Approx(430.0).epsilon(0.08));
}

TEST_CASE("segments that hold a masked sample are left out") {
    auto noise = white_noise(10000, 8);
    const auto whole = welch_spectrum(std::span(noise).first(4000), Hertz{1000.0}, 500);
    for (std::size_t i = 4000; i < noise.size(); ++i) noise[i] = std::nanf("");
    const auto part = welch_spectrum(noise, Hertz{1000.0}, 500);
    CHECK(part.segments == whole.segments);
    CHECK(part.uv2_per_hz == whole.uv2_per_hz);
}

TEST_CASE("too short or masked throughout gives no segment and no density") {
    const std::vector<float> masked(5000, std::nanf(""));
    CHECK(welch_spectrum(masked, Hertz{1000.0}, 500).segments == 0);
    CHECK(welch_spectrum(masked, Hertz{1000.0}, 500).uv2_per_hz.empty());
    CHECK(welch_spectrum(std::vector<float>(499, 1.0F), Hertz{1000.0}, 500).segments == 0);
    const auto flat = welch_spectrum(std::vector<float>(5000, 4.0F), Hertz{1000.0}, 500);
    CHECK(power(flat) < 1e-12);
}
