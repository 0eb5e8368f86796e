#include <doctest/doctest.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <numbers>

#include "support/shaped_noise.hpp"
#include "tracehold/clean/welch.hpp"
#include "tracehold/clean/zero_phase.hpp"
#include "tracehold/core/side_by_side.hpp"
#include "tracehold/envelope/follow_envelope.hpp"

using namespace tracehold;
using namespace tracehold::testing;
using doctest::Approx;

namespace {

// The slow twin: the definition, window by window.
float slow_rms(const std::vector<float>& uv, std::size_t i, std::size_t window) {
    const std::size_t half = window / 2;
    double sum = 0.0;
    std::size_t valid = 0;
    for (std::size_t k = i >= half ? i - half : 0; k <= i + half && k < uv.size(); ++k) {
        if (std::isnan(uv[k])) continue;
        sum += static_cast<double>(uv[k]) * uv[k];
        ++valid;
    }
    return 2 * valid < window ? std::nanf("") : static_cast<float>(std::sqrt(sum / static_cast<double>(valid)));
}

std::vector<float> sine(double amplitude, double hz, double rate, std::size_t size) {
    std::vector<float> out(size);
    for (std::size_t i = 0; i < size; ++i) {
        out[i] = static_cast<float>(amplitude * std::sin(2 * std::numbers::pi * hz * static_cast<double>(i) / rate));
    }
    return out;
}

}  // namespace

TEST_CASE("every window equals its definition whatever is masked") {
    for (const std::size_t size : {1, 2, 50, 99, 100, 101, 1000}) {
        auto uv = white_noise(size, size);
        for (std::size_t i = 0; i < size; ++i) {
            if (i % 7 == 3 || (i > 300 && i < 380)) uv[i] = std::nanf("");
        }
        for (const std::size_t window : {1, 3, 21, 101, 301}) {
            const auto fast = moving_rms(uv, window);
            REQUIRE(fast.size() == size);
            for (std::size_t i = 0; i < size; ++i) {
                const float slow = slow_rms(uv, i, window);
                if (std::isnan(slow))
                    CHECK(std::isnan(fast[i]));
                else
                    CHECK(fast[i] == Approx(slow).epsilon(1e-6));
            }
        }
    }
}

TEST_CASE("who helps changes nothing") {
    auto uv = white_noise(400000, 3);
    std::fill_n(uv.begin() + 100000, 500, std::nanf(""));
    const auto bits = [](const std::vector<float>& values) {
        std::vector<std::uint32_t> out;
        for (const float v : values) out.push_back(std::bit_cast<std::uint32_t>(v));
        return out;
    };
    const auto alone = bits(moving_rms(uv, 201));
    const Helpers helpers(3);
    CHECK(bits(moving_rms(uv, 201)) == alone);
}

TEST_CASE("a huge artefact leaves no trace in the rest after it") {
    // 1e7 uV, then rest of 1e-3 uV: a running sum that subtracts would be off by far more than the rest itself.
    std::vector<float> uv(5000, 1e-3F);
    uv[1000] = 1e7F;
    const auto e = moving_rms(uv, 201);
    CHECK(e[1100] > 1e5F);
    for (std::size_t i = 1101; i < 5000; ++i) CHECK(e[i] == Approx(1e-3).epsilon(1e-6));
}

TEST_CASE("a sine of 10 uV has its closed-form RMS and rectified mean") {
    // Definitions: 10 / sqrt 2 = 7.071068; 20 / pi = 6.366198. Windows of whole cycles.
    const double rate = 4020.0;  // 201 samples are 5 whole cycles of 100 Hz
    const auto uv = sine(10.0, 100.0, rate, 20100);
    const auto e = moving_rms(uv, 201);
    for (std::size_t i = 200; i < 19000; i += 97) CHECK(std::abs(e[i] - 7.071068) < 1e-5);
    double rectified = 0.0;
    const auto fine = sine(10.0, 1.0, 100000.0, 100000);
    for (const float v : fine) rectified += std::abs(static_cast<double>(v)) / 100000.0;
    CHECK(std::abs(rectified - 6.366198) < 1e-6);
}

TEST_CASE("Gaussian noise has a rectified mean of 0.797885 of its RMS") {
    // sqrt(2 / pi), by definition.
    const auto uv = white_noise(400000, 2);
    double rectified = 0.0;
    for (const float v : uv) rectified += std::abs(static_cast<double>(v)) / static_cast<double>(uv.size());
    CHECK(rectified / rms(uv) == Approx(0.797885).epsilon(0.01));
}

TEST_CASE("the RMS of band noise over a quarter second scatters as the law says") {
    // 0.0457 for 20-450 Hz and 0.25 s, within 5 % of it. Law: 1 / (2 sqrt(B T)), Bendat & Piersol (from memory);
    // simulation agrees.
    auto filtered = white_noise(4'000'000, 77);
    const Hertz fs{2000.0};
    auto s = butterworth_high_pass(4, high_pass_corner_for_two_passes(4, Hertz{20.0}, fs), fs);
    const auto low = butterworth_low_pass(4, low_pass_corner_for_two_passes(4, Hertz{450.0}, fs), fs);
    s.insert(s.end(), low.begin(), low.end());
    run_zero_phase(s, filtered);
    double sum = 0.0, squares = 0.0;
    std::size_t n = 0;
    for (std::size_t begin = 0; begin + 500 <= filtered.size(); begin += 500, ++n) {
        const double r = rms(filtered, begin, begin + 500);
        sum += r;
        squares += r * r;
    }
    const double mean = sum / static_cast<double>(n);
    const double relative = std::sqrt(squares / static_cast<double>(n) - mean * mean) / mean;
    MESSAGE("relative SD of the RMS over 0.25 s: " << relative);
    CHECK(relative == Approx(0.0457).epsilon(0.05));
    const double bandwidth = statistical_bandwidth_hz(welch_spectrum(filtered, fs, 1000));
    CHECK(relative == Approx(1.0 / (2.0 * std::sqrt(bandwidth * 0.25))).epsilon(0.05));
}

TEST_CASE("a step reaches half its height a quarter window early") {
    // Closed form: e(t0 + s) = A sqrt(1/2 + s / W), so e = A / 2 at s = -W / 4: t0 - 0.025 s for W = 0.1 s. One sample.
    const double rate = 2000.0;
    std::vector<float> uv(4000, 0.0F);
    for (std::size_t i = 2000; i < uv.size(); ++i) uv[i] = i % 2 == 0 ? 10.0F : -10.0F;
    const auto e = moving_rms(uv, 201);
    const auto half = std::find_if(e.begin(), e.end(), [](float v) { return v >= 5.0F; }) - e.begin();
    CHECK(std::abs(static_cast<double>(half) / rate - (1.0 - 0.025)) <= 1.0 / rate);
}
