// Noise as strong at every frequency beside muscle: how much of it is seen in rest, from when on, and where nothing
// else is.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string_view>

#include "clean/made_trace.hpp"
#include "support/shaped_noise.hpp"
#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

constexpr int kSessions = 10;

// Rest of 1 to 2.5 µV over the simulated recorder's own 0.7 µV; contractions of 12 to 46 µV.
Recording steady_session(int number) {
    Scenario s;
    s.seed = 300 + static_cast<std::uint64_t>(number);
    s.rate_hz = number % 2 == 0 ? 1000.0 : 2000.0;
    s.plan.posture = "lying";
    s.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 6, 8}};
    s.muscle.rest_uv = 1.0 + 0.5 * (number % 4);
    s.muscle.rest_wander_pct = 10.0;
    s.muscle.work_uv = 12.0 + 8.5 * (number % 5);
    return simulate_recording(s).recording;
}

// Independent samples of this RMS from 0 to 500 Hz, times the trace as it was.
struct Noise {
    double uv = 0.0, from_s = 0.0, to_s = 1e9, kept = 1.0;
};

Recording with(Recording recording, const Noise& noise, int number) {
    Channel& channel = recording.channels.front();
    const double size = noise.uv * std::sqrt(channel.rate.value / 1000.0);
    const std::vector<float> white =
        testing::white_noise(channel.samples.size(), 700 + static_cast<std::uint64_t>(number));
    for (std::size_t i = 0; i < channel.samples.size(); ++i) {
        const double t = time_of(i, channel.rate);
        float& v = channel.samples[i];
        if (t >= noise.from_s && t < noise.to_s)
            v = static_cast<float>(noise.kept * static_cast<double>(v) + size * static_cast<double>(white[i]));
    }
    return recording;
}

}  // namespace

TEST_CASE("white noise that is much of rest is told with its size and a recorder's own is not") {
    for (int number = 0; number < kSessions; ++number) {
        CAPTURE(number);
        CHECK_FALSE(find_finding(clean_recording(steady_session(number), 0), "broadband"));
        const CleanRecording some = clean_recording(with(steady_session(number), {.uv = 3.0}, number), 0);
        const Finding* finding = find_finding(some, "broadband");
        REQUIRE(finding);
        CHECK(finding->severity == Severity::caution);
        CHECK(finding->text.find("may be noise of recorder or electrode rather than muscle") != std::string::npos);
        // 3 µV over 500 Hz are 2.8 µV over the band's 430 Hz, with the recorder's own 2.9 µV.
        const double said_uv = std::stod(finding->text.substr(finding->text.find("rest, ") + 6));
        CHECK(said_uv > 2.5);
        CHECK(said_uv < 3.2);
        CHECK_FALSE(find_finding(some, "contact_lost"));
    }
}

TEST_CASE("white noise from one moment on is told from then on") {
    for (int number = 0; number < kSessions; ++number) {
        const CleanRecording clean = clean_recording(with(steady_session(number), {.uv = 3.0, .from_s = 50.0}, number), 0);
        CAPTURE(number);
        const Finding* finding = find_finding(clean, "broadband");
        REQUIRE(finding);
        REQUIRE(finding->spans.size() == 1);
        CHECK(finding->spans[0].begin_s > 42.0);
        CHECK(finding->spans[0].begin_s < 60.0);
    }
}

TEST_CASE("a stretch of nothing but noise at the level of rest is lost contact") {
    for (int number = 0; number < kSessions; ++number) {
        const Recording made = with(steady_session(number), {.uv = 2.4, .from_s = 40.0, .to_s = 75.0, .kept = 0.0}, number);
        const CleanRecording clean = clean_recording(made, 0);
        CAPTURE(number);
        const Finding* finding = find_finding(clean, "contact_lost");
        REQUIRE(finding);
        CHECK(finding->severity == Severity::caution);
        REQUIRE(finding->spans.size() == 1);
        CHECK(finding->spans[0].begin_s == doctest::Approx(40.0).epsilon(0.05));
        CHECK(finding->spans[0].end_s == doctest::Approx(75.0).epsilon(0.03));
        CHECK(std::isnan(clean.uv[static_cast<std::size_t>(55.0 * clean.rate.value)]));
    }
}
