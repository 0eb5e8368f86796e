// Hum that comes so briefly, or under muscle so loud, that its course cannot be followed.
#include "clean/left_hum.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "clean/made_trace.hpp"
#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

constexpr int kHumSeeds = 6;

// Rest of 2.5 µV, holds of 15 µV from 10 s on, each 5 s with 7 s of rest.
Recording session_of(int number, std::vector<Fault> faults) {
    Scenario s = holds_with(300 + static_cast<std::uint64_t>(number), 7, 5, std::move(faults));
    s.muscle.rest_uv = 2.5;
    return simulate_recording(s).recording;
}

// What is kept within the stretch: its RMS over that of the same session without hum, and how much else is masked.
struct Kept {
    double high = 1.0, masked_outside_s = 0.0;
};

Kept kept_of(const CleanRecording& clean, const CleanRecording& without, double from_s, double length_s) {
    double with_hum = 0.0, muscle = 0.0;
    std::size_t outside = 0;
    for (std::size_t i = 0; i < clean.uv.size(); ++i) {
        const double t = time_of(i, clean.rate);
        const bool inside = t >= from_s && t < from_s + length_s;
        if (std::isnan(clean.uv[i])) {
            outside += inside ? 0 : 1;
        } else if (inside) {
            with_hum += std::pow(static_cast<double>(clean.uv[i]), 2.0);
            muscle += std::pow(static_cast<double>(without.uv[i]), 2.0);
        }
    }
    return {muscle > 0.0 ? std::sqrt(with_hum / muscle) : 1.0, time_of(outside, clean.rate)};
}

bool says_left(const CleanRecording& clean) {
    const auto& findings = clean.quality.findings;
    return std::any_of(findings.begin(), findings.end(), [](const Finding& f) {
        return f.code == "mains" && f.severity == Severity::caution && !f.spans.empty() && f.text.find("could not be removed") != std::string::npos;
    });
}

}  // namespace

// Left in, hum of 12 µV for 3 s makes the contraction read 17 % too high, of 20 µV 40 %.
TEST_CASE("hum within a contraction that is too brief to follow is masked") {
    for (const double hum_uv : {12.0, 16.0, 20.0}) {
        for (const double length_s : {1.0, 3.0}) {
            for (const double hz : {50.0, 60.0}) {
                CAPTURE(hum_uv);
                CAPTURE(length_s);
                CAPTURE(hz);
                for (int number = 1; number <= kHumSeeds; ++number) {
                    CAPTURE(number);
                    const CleanRecording clean = clean_recording(session_of(number, {{FaultKind::hum, hum_uv, 23.5, length_s, hz}}), 0);
                    const Kept kept = kept_of(clean, clean_recording(session_of(number, {}), 0), 22.3, 4.9);
                    CHECK(kept.high < (hum_uv < 20.0 ? 1.1 : 1.2));
                    CHECK(kept.masked_outside_s < 0.5);
                    CHECK((find_finding(clean, "mains") || find_finding(clean, "reference_off")));
                }
            }
        }
    }
}

TEST_CASE("weak hum that comes briefly at rest is masked and named") {
    int named = 0;
    for (int number = 1; number <= kHumSeeds; ++number) {
        CAPTURE(number);
        const CleanRecording clean = clean_recording(session_of(number, {{FaultKind::hum, 5.0, 18.3, 0.8, 50}}), 0);
        CHECK(kept_of(clean, clean_recording(session_of(number, {}), 0), 18.3, 0.8).high < 1.12);
        named += says_left(clean);
    }
    CHECK(named > 0);  // of others both ends are found
}

TEST_CASE("steady and wobbling hum leave nothing to mask once removed, and clean sessions hold none") {
    for (int number = 1; number <= kHumSeeds; ++number) {
        CAPTURE(number);
        for (const double hum_uv : {3.0, 10.0, 30.0}) {
            CAPTURE(hum_uv);
            const CleanRecording steady = clean_recording(session_of(number, {{FaultKind::hum, hum_uv, 0, 0, 50}}), 0);
            CHECK(steady.quality.mains->removed);
            CHECK(steady.quality.masked_s == 0.0);
            CHECK_FALSE(says_left(steady));
        }
        CHECK_FALSE(says_left(clean_recording(session_of(number, {{FaultKind::wobbling_hum, 5.0, 0, 0, 50}}), 0)));
    }
    for (int number = 1; number <= 100; ++number) {
        CAPTURE(number);
        CHECK(clean_recording(session_of(number, {}), 0).quality.masked_s == 0.0);
    }
}

TEST_CASE("hum is left as it is where that is asked for") {
    CleanSettings off;
    off.mains = MainsRemoval::off;
    const Recording recording = session_of(1, {{FaultKind::hum, 16.0, 23.5, 3.0, 50}});
    CHECK(clean_recording(recording, 0, off).quality.masked_s == 0.0);
    CHECK(clean_recording(recording, 0).quality.masked_s > 2.5);
}

TEST_CASE("tones beside the mains frequencies are no hum that was left") {
    for (const double hz : {46.0, 54.5, 80.0, 150.0, 240.0}) {
        CAPTURE(hz);
        Recording recording = session_of(2, {});
        auto& uv = recording.channels[0].samples;
        for (std::size_t i = 23500; i < 26500; ++i) uv[i] += static_cast<float>(20.0 * std::sin(kTurn * hz * static_cast<double>(i) / 1000.0));
        CHECK_FALSE(says_left(clean_recording(recording, 0)));
    }
}

TEST_CASE("too short or masked traces hold no hum that was left") {
    for (const auto& uv : {std::vector<float>{}, std::vector<float>(600, 1.0F), std::vector<float>(5000, std::nanf("")), std::vector<float>(5000, 0.0F)})
        CHECK(find_left_hum(uv, line_blocks(uv, kRate, kMains_hz, Hertz{450.0}), {}).empty());
}
