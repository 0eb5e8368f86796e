// A recorder that bends strong activity without a rail to be seen.
#include "clean/flattened.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "support/shaped_noise.hpp"
#include "tracehold/clean/clean_recording.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

// 5 s of rest at 2 µV and 5 s of work at 15 µV, in turn.
Recording limited_session(double rate, std::uint64_t seed, double limit_uv) {
    auto uv = muscle_noise(static_cast<std::size_t>(100 * rate), rate, seed, 1.0);
    for (std::size_t i = 0; i < uv.size(); ++i) {
        const double v =
            (time_of(i, Hertz{rate}) / 10.0 - std::floor(time_of(i, Hertz{rate}) / 10.0) < 0.5 ? 2.0 : 15.0) *
            static_cast<double>(uv[i]);
        uv[i] = static_cast<float>(limit_uv > 0.0 ? limit_uv * std::tanh(v / limit_uv) : v);
    }
    Recording recording;
    recording.channels.resize(1);
    recording.channels[0].rate = Hertz{rate};
    recording.channels[0].unit_known = true;
    recording.channels[0].samples = std::move(uv);
    return recording;
}

int seen(double rate, double limit_uv) {
    int times = 0;
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
        const auto findings = clean_recording(limited_session(rate, seed, limit_uv), 0).quality.findings;
        times += std::any_of(findings.begin(), findings.end(),
                             [](const Finding& f) { return f.code == "clipping" && f.severity == Severity::caution; });
    }
    return times;
}

}  // namespace

TEST_CASE("contractions bent by a tenth are named and those that are not never") {
    for (const double rate : {500.0, 2000.0}) {
        CAPTURE(rate);
        CHECK(seen(rate, 20.0) == 4);  // a quarter too low
        CHECK(seen(rate, 40.0) == 4);  // a tenth too low
        CHECK(seen(rate, 50.0) >= 3);   // 7 %
        CHECK(seen(rate, 0.0) == 0);
    }
}

TEST_CASE("the fourth moment of Gaussian noise is 3 and of a tone 1.5") {
    const auto of_loud = [](std::span<const float> uv, double loud_uv) {
        const HalfSeconds halves = look_at_half_seconds(uv, Hertz{1000.0}, Hertz{450.0});
        return peakedness(uv, loud_ones(halves, loud_uv), halves.samples);
    };
    const auto noise = of_loud(white_noise(100000, 3), 1.0);
    CHECK(noise.kurtosis == doctest::Approx(3.0).epsilon(0.02));
    CHECK(noise.error < 0.05);
    std::vector<float> tone(20000);
    for (std::size_t i = 0; i < tone.size(); ++i) tone[i] = static_cast<float>(std::sin(0.7 * static_cast<double>(i)));
    CHECK(of_loud(tone, 0.7).kurtosis == doctest::Approx(1.5).epsilon(0.01));
    CHECK(of_loud(white_noise(4000, 3), 1.0).kurtosis == 3.0);  // too short to say
    CHECK(of_loud({}, 1.0).error == 0.0);
}
