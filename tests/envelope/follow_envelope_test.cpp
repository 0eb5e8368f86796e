#include "tracehold/envelope/follow_envelope.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "support/shaped_noise.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/envelope/levels.hpp"

using namespace tracehold;
using namespace tracehold::testing;
using doctest::Approx;

namespace {

CleanRecording trace(std::vector<float> uv, double rate_hz = 1000.0, ChannelKind kind = ChannelKind::raw) {
    CleanRecording clean;
    clean.rate = Hertz{rate_hz};
    clean.kind = kind;
    clean.uv = std::move(uv);
    return clean;
}

std::vector<float> sine(double amplitude, std::size_t size) {
    std::vector<float> out(size);
    for (std::size_t i = 0; i < size; ++i) {
        out[i] =
            static_cast<float>(amplitude * std::sin(2 * std::numbers::pi * 100.0 * static_cast<double>(i) / 1000.0));
    }
    return out;
}

}  // namespace

TEST_CASE("the window is the nearest odd number of samples and is said") {
    const auto uv = muscle_noise(5000, 1000.0, 1, 5.0);
    const auto e = follow_envelope(trace(uv));
    CHECK(e.window.value == Approx(0.101));
    CHECK(e.method == EnvelopeMethod::moving_rms);
    CHECK(e.uv == moving_rms(uv, 101));
    CHECK(follow_envelope(trace(uv, 2048.0)).window.value == Approx(205.0 / 2048.0));
    CHECK(e.baseline_uv.empty());
}

TEST_CASE("a window without sense is refused") {
    const auto clean = trace(muscle_noise(5000, 1000.0, 1, 5.0));
    for (const double window_s : {0.0, 0.001, 11.0, std::nan("")}) {
        CHECK_THROWS_AS(follow_envelope(clean, {.window = Seconds{window_s}}), Error);
    }
}

TEST_CASE("the linear envelope of a sine is its rectified mean") {
    // 20 / pi = 6.366198 by definition; the rest of 200 Hz that a 6-Hz low-pass leaves is below a thousandth.
    const auto e = follow_envelope(trace(sine(10.0, 6000)), {.method = EnvelopeMethod::rectified});
    CHECK(e.method == EnvelopeMethod::rectified);
    const double sampled =
        10.0 * (std::sin(0.0) + 2 * std::sin(0.2 * std::numbers::pi) + 2 * std::sin(0.4 * std::numbers::pi)) / 5.0;
    for (std::size_t i = 1000; i < 5000; ++i)
        CHECK(e.uv[i] == Approx(sampled).epsilon(0.002));  // of the five values that sampling meets
    CHECK(sampled == Approx(6.366198).epsilon(0.04));
}

TEST_CASE("the linear envelope is never negative and masked where runs are short") {
    auto uv = sine(10.0, 6000);
    for (std::size_t i = 2000; i < 4000; ++i) uv[i] = 0.0F;
    uv[4500] = uv[4550] = std::nanf("");
    const auto e = follow_envelope(trace(uv), {.method = EnvelopeMethod::rectified});
    for (const float v : e.uv) CHECK((std::isnan(v) || v >= 0.0F));
    for (std::size_t i = 4500; i <= 4550; ++i) CHECK(std::isnan(e.uv[i]));
    CHECK(!std::isnan(e.uv[4499]));
}

TEST_CASE("twice the trace is twice the envelope and backwards is backwards") {
    auto uv = muscle_noise(5000, 1000.0, 4, 5.0);
    uv[700] = std::nanf("");
    const auto once = follow_envelope(trace(uv));
    auto twice = uv, back = uv;
    for (float& v : twice) v *= 2.0F;
    std::reverse(back.begin(), back.end());
    const auto doubled = follow_envelope(trace(twice)), reversed = follow_envelope(trace(back));
    for (std::size_t i = 0; i < uv.size(); ++i) {
        CHECK(doubled.uv[i] == Approx(2.0 * once.uv[i]).epsilon(1e-6));
        CHECK(reversed.uv[uv.size() - 1 - i] == Approx(once.uv[i]).epsilon(1e-6));
    }
    CHECK(doubled.noise_floor_uv == Approx(2.0 * once.noise_floor_uv).epsilon(1e-6));
}

TEST_CASE("an exported amplitude stays as it is") {
    std::vector<float> amplitude{1.0F, 2.0F, std::nanf(""), 4.0F, -0.5F};
    const auto e = follow_envelope(trace(amplitude, 10.0, ChannelKind::envelope));
    CHECK(e.method == EnvelopeMethod::as_exported);
    CHECK(e.window.value == Approx(0.1));
    CHECK(e.uv[1] == 2.0F);
    CHECK(std::isnan(e.uv[2]));
    CHECK(e.uv[4] == 0.0F);  // an amplitude below zero is an offset of the recorder
    CHECK(e.baseline_uv.size() == 5);
}

TEST_CASE("noise is subtracted in power") {
    // 5, 3 gives 4; 3, 5 gives 0: power-domain rule.
    CHECK(subtract_noise(5.0, 3.0) == 4.0);
    CHECK(subtract_noise(3.0, 5.0) == 0.0);
    CHECK(std::isnan(subtract_noise(std::nan(""), 1.0)));
    std::vector<float> amplitude(400, 3.0F);
    std::fill(amplitude.begin() + 200, amplitude.begin() + 300, 5.0F);
    const auto clean = trace(amplitude, 10.0, ChannelKind::envelope);
    const auto e = follow_envelope(clean, {.subtract_noise_floor = true});
    CHECK(e.noise_subtracted);
    CHECK(e.noise_floor_uv == Approx(3.0));
    CHECK(e.uv[250] == Approx(4.0));
    CHECK(e.uv[50] == 0.0F);
    CHECK(!follow_envelope(clean).noise_subtracted);
}

TEST_CASE("the noise floor is the fifth percentile of whole seconds") {
    // 100 seconds of 1, 2 ... 100 uV: type 7 quantile at 0.05 of 1..100 is 1 + 0.05 * 99 = 5.95.
    std::vector<float> uv;
    for (int s = 1; s <= 100; ++s) uv.insert(uv.end(), 10, static_cast<float>(s));
    CHECK(noise_floor(uv, Hertz{10.0}) == Approx(5.95));
    auto masked = uv;
    for (std::size_t i = 0; i < 40; ++i) masked[i] = std::nanf("");  // seconds 1 to 4: the floor of 5..100
    CHECK(noise_floor(masked, Hertz{10.0}) == Approx(5.0 + 0.05 * 95));
    CHECK(noise_floor(std::vector<float>{3.0F, 2.0F}, Hertz{10.0}) == 2.0);
    CHECK(noise_floor(std::vector<float>{}, Hertz{10.0}) == 0.0);
    CHECK(noise_floor(std::vector<float>(50, std::nanf("")), Hertz{10.0}) == 0.0);
    CHECK(noise_floor(std::vector<float>(20, 7.0F), Hertz{0.5}) == Approx(7.0));
}

TEST_CASE("the baseline follows the rests and not the contractions") {
    std::vector<float> uv;
    for (int i = 0; i < 3000; ++i) {
        const double t = i / 10.0;
        uv.push_back(static_cast<float>(2.0 + 0.01 * t + (std::fmod(t, 10.0) < 4.0 ? 30.0 : 0.0)));
    }
    const auto base = running_lower_decile(uv, Hertz{10.0});
    REQUIRE(base.size() == uv.size());
    for (std::size_t i = 0; i < base.size(); ++i)
        CHECK(std::abs(base[i] - (2.0 + 0.001 * static_cast<double>(i))) < 0.2);
    const auto e = follow_envelope(trace(uv, 10.0, ChannelKind::envelope), {.subtract_baseline = true});
    CHECK(e.baseline_subtracted);
    CHECK(e.uv[1020] == Approx(30.0).epsilon(0.01));
    CHECK(e.uv[1070] < 0.2F);
    CHECK(running_lower_decile(std::vector<float>{}, Hertz{10.0}).empty());
    CHECK(std::isnan(running_lower_decile(std::vector<float>(20, std::nanf("")), Hertz{10.0})[5]));
}
