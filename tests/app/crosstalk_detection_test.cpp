// Two muscles that work at the same time, from recording to finding: whether the one is accused of being heard in the
// other, also where both channels share hum, heart beats or a cable that moves.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/cycles/find_cycles.hpp"
#include "tracehold/envelope/follow_envelope.hpp"
#include "tracehold/measures/score_session.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

using namespace tracehold;

namespace {

Scenario session(int number) {
    constexpr FaultKind kShared[] = {FaultKind::hum, FaultKind::wobbling_hum, FaultKind::heart_beats};
    Scenario s;
    s.seed = 700 + static_cast<std::uint64_t>(number);
    s.rate_hz = number % 4 == 0 ? 500.0 : 1000.0;
    s.plan.posture = "lying";
    s.plan.channel = "EMG PFM";
    s.plan.accessory_channels = {"EMG Abd"};
    s.plan.steps = {{StepKind::rest, 8, 0, 1}, {StepKind::hold, 4, 5, 4}, {StepKind::rapid, 1, 4, 2}};
    s.muscle.rest_uv = 0.8 + 0.8 * (number % 4);
    s.muscle.work_uv = 6.0 + 8.0 * (number % 5);
    s.accessory = MuscleSetting{};
    s.accessory->rest_uv = 1.0 + number % 3;
    s.accessory->work_uv = 5.0 + 15.0 * (number % 3);
    if (number % 5 < 3) s.faults = {{kShared[number % 5], number % 2 == 0 ? 12.0 : 40.0 + number % 20, 0, 0, 0}};
    return s;
}

// Waves of 1 s and 200 µV in both channels alike, in the first two holds.
void move_cable(Recording& recording) {
    for (Channel& channel : recording.channels) {
        for (const double from_s : {9.0, 18.5}) {
            const SampleRange range = samples_in({from_s, from_s + 1.0}, channel.rate, channel.samples.size());
            for (std::size_t i = range.begin; i < range.end; ++i) {
                const double u = time_of(i - range.begin, channel.rate);
                channel.samples[i] += static_cast<float>(200.0 * std::sin(2.0 * std::numbers::pi * 6.0 * u) *
                                                         std::sin(std::numbers::pi * u));
            }
        }
    }
}

bool accused(int number, double crosstalk_pct) {
    Scenario scenario = session(number);
    scenario.crosstalk_pct = crosstalk_pct;
    Recording recording = simulate_recording(scenario).recording;
    if (number % 5 == 3) move_cable(recording);
    const CleanRecording clean = clean_recording(recording, 0), beside = clean_recording(recording, 1);
    const Envelope envelope = follow_envelope(clean), accessory = follow_envelope(beside);
    const Cycles cycles = find_cycles({clean, envelope, recording.marks, &scenario.plan, {}});
    const auto findings = score_session({.recording = {},
                                         .notes = {},
                                         .clean = clean,
                                         .envelope = envelope,
                                         .cycles = cycles,
                                         .plan = &scenario.plan,
                                         .accessory = &accessory,
                                         .accessory_trace = &beside,
                                         .corrections = {},
                                         .settings = {}})
                              .quality.findings;
    return std::any_of(findings.begin(), findings.end(),
                       [](const Finding& finding) { return finding.code == "crosstalk"; });
}

}  // namespace

TEST_CASE("no muscle that works along is accused of crosstalk and one that is heard is") {
    int falsely = 0, seen = 0;
    for (int number = 1; number <= 100; ++number) falsely += accused(number, 0.0);
    for (int number = 2; number <= 40; number += 3) {  // the accessory works at 35 µV
        CAPTURE(number);
        const bool told = accused(number, 100.0);
        seen += told;
        CHECK(told);
    }
    CHECK(falsely == 0);
    CHECK(seen == 13);
}
