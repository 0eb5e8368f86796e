#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <string>

#include "measures/emg_noise.hpp"
#include "measures/made_session.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

// A hold of 10 s in 30 s of a trace made by a formula.
MadeSession with_trace(double rate_hz, const std::function<double(double)>& x) {
    MadeSession made = made_session(rate_hz, 30, [](double t) { return t >= 10 && t < 20 ? 10.0 : 1.0; });
    for (std::size_t i = 0; i < made.clean.uv.size(); ++i) {
        made.clean.uv[i] = static_cast<float>(x(static_cast<double>(i) / rate_hz));
    }
    add_cycle(made, made_cycle(10, 20, 30));
    return made;
}

double sine(double hz, double t) { return std::sin(2.0 * std::numbers::pi * hz * t); }

}  // namespace

TEST_CASE("a sine has its own frequency as median and it does not move") {
    const MadeSession made = with_trace(1000, [](double t) { return 10 * sine(120, t); });
    CHECK(std::abs(*made.value("median_frequency_hz").value - 120.0) < 1.0);
    CHECK(std::abs(*made.value("median_frequency_slope_pct_per_s").value) < 0.01);
}

TEST_CASE("the median is blind to the unit and to power outside of 20 to 450 Hz") {
    const auto two = [](double t) { return 3 * sine(60, t) + 3.2 * sine(200, t); };
    const MadeSession made = with_trace(2000, two);
    const MadeSession scaled = with_trace(2000, [&](double t) { return 50 * two(t); });
    const MadeSession beside = with_trace(2000, [&](double t) { return two(t) + 40 * sine(8, t) + 40 * sine(600, t); });
    // The stronger line holds the median: within the 4 Hz that a Hann window of 0.5 s spreads it.
    CHECK(std::abs(*made.value("median_frequency_hz").value - 200.0) < 4.0);
    CHECK(*scaled.value("median_frequency_hz").value ==
          doctest::Approx(*made.value("median_frequency_hz").value).epsilon(1e-5));
    CHECK(std::abs(*beside.value("median_frequency_hz").value - *made.value("median_frequency_hz").value) < 1.0);
}

TEST_CASE("a falling tone falls by its share per second") {
    // From 200 Hz at the start of the hold (11 s) down by 4 Hz a second: -2 % a second.
    const MadeSession made = with_trace(2000, [](double t) {
        const double s = t - 11.0;
        return std::sin(2.0 * std::numbers::pi * (200.0 * s - 2.0 * s * s));
    });
    CHECK(*made.value("median_frequency_slope_pct_per_s").value == doctest::Approx(-2.0).epsilon(0.02));
}

TEST_CASE("spectral measures are null where they cannot be told") {
    MadeSession exported = with_trace(1000, [](double t) { return sine(120, t); });
    exported.clean.kind = ChannelKind::envelope;
    exported.envelope.method = EnvelopeMethod::as_exported;
    CHECK(exported.value("median_frequency_hz").reason == "no spectrum from an exported envelope");
    CHECK(exported.value("median_frequency_slope_pct_per_s").reason == "no spectrum from an exported envelope");

    MadeSession silent = with_trace(1000, [](double) { return 0.0; });
    CHECK(silent.value("median_frequency_hz").reason == "no power between 20 and 450 Hz");

    MadeSession brief = with_trace(1000, [](double t) { return sine(120, t); });
    brief.cycles.cycles[0].work = {10, 14};
    brief.cycles.cycles[0].rest = {14, 30};
    CHECK(brief.value("median_frequency_hz").value);
    CHECK(brief.value("median_frequency_slope_pct_per_s").reason == "the hold is shorter than 5 s");

    MadeSession masked = with_trace(1000, [](double t) { return sine(120, t); });
    for (std::size_t i = 11000; i < 14500; ++i) masked.clean.uv[i] = kMasked;
    CHECK(masked.value("median_frequency_hz").reason == "less than 70 % of the window is valid signal");

    MadeSession riddled = with_trace(1000, [](double t) { return sine(120, t); });
    for (std::size_t i = 10000; i < 20000; i += 300) riddled.clean.uv[i] = kMasked;
    CHECK(riddled.value("median_frequency_hz").reason == "no 0.5 s without masked samples");
    CHECK(riddled.value("median_frequency_slope_pct_per_s").reason == "fewer than 3 valid seconds in the hold");
}

TEST_CASE("a masked second leaves the slope to the others") {
    MadeSession made = with_trace(1000, [](double t) { return sine(120, t); });
    for (std::size_t i = 13000; i < 14000; ++i) made.clean.uv[i] = kMasked;
    CHECK(std::abs(*made.value("median_frequency_slope_pct_per_s").value) < 0.01);
}

TEST_CASE("the median of a known broad spectrum is found") {
    const EmgNoise shape{2000, 110, 0.8};
    NormalStream stream(11);
    MadeSession made = made_session(2000, 130, [](double) { return 10.0; });
    const auto x = unit_noise(shape, made.clean.uv.size(), stream);
    made.clean.uv.assign(x.begin(), x.end());
    add_cycle(made, made_cycle(5, 125, 130));
    const Estimate median = made.value("median_frequency_hz");
    CHECK(std::abs(*median.value - shape.median_hz(20, 450)) < 3.0 * *median.error);
    CHECK(*median.error < 1.5);
}
