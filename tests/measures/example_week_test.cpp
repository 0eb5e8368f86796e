// What the example week scores to, number by number. None of it is a truth, that is what the other tests are for: it tells that
// a number has changed, also by less than they can see, and by which step. Read the difference, then accept it.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <string>
#include <vector>

#include "support/golden.hpp"
#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/cycles/find_cycles.hpp"
#include "tracehold/envelope/follow_envelope.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/measures/score_session.hpp"
#include "tracehold/plan/read_plan.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

using namespace tracehold;

namespace {

constexpr double kTolerance = 2e-5;  // compilers and processors differ in the last digits of sums of floats

const std::string kExamples = SOURCE_DIR "/examples/";

SessionScore score_of(const Recording& recording, const Plan& plan) {
    const CleanRecording clean = clean_recording(recording, 0);
    const Envelope envelope = follow_envelope(clean);
    const Cycles cycles = find_cycles({clean, envelope, recording.marks, &plan, {}});
    const Channel& channel = recording.channels[0];
    return score_session({.recording = {.duration_s = recording.duration_s(), .channel = channel.label, .rate_hz = channel.rate.value, .kind = channel.kind},
                          .notes = {}, .clean = clean, .envelope = envelope, .cycles = cycles, .plan = &plan, .corrections = {}, .settings = {}});
}

std::string number(std::optional<double> value) { return value ? fmt::format(" {:.6g}", *value) : " -"; }

// From the cue on, so that a millisecond counts alike early and late in a session.
std::string event(const std::optional<EventTime>& time, const std::optional<double>& fifth_s, double cue_s) {
    const std::string fifth = number(fifth_s ? std::optional(*fifth_s - cue_s) : std::nullopt);
    return time ? fmt::format(" {:.5f} {:.5f} {:.5f} {:.5f}", time->time_s - cue_s, time->error_s, time->low_s - cue_s, time->high_s - cue_s) + fifth : " -" + fifth;
}

std::string told(const std::string& name, const SessionScore& score) {
    std::string text = fmt::format("session {} cues {}{}{} masked {:.4f} floor {:.6g} hum{}\n", name, to_string(score.cues), number(score.cue_offset_s),
                                   number(score.cue_confidence), score.quality.masked_s, score.noise_floor_uv,
                                   number(score.quality.mains ? std::optional(score.quality.mains->rms_uv) : std::nullopt));
    for (const Finding& finding : score.quality.findings) {
        text += "found " + finding.code;
        for (const TimeSpan& span : finding.spans) text += fmt::format(" {:.4f} {:.4f}", span.begin_s, span.end_s);
        text += "\n";
    }
    for (const ScoredCycle& scored : score.cycles) {
        const Cycle& cycle = scored.cycle;
        text += fmt::format("cycle {} {} {} work {:.4f} {:.4f} rest {:.4f} onset{} offset{} values", cycle.index, to_string(cycle.kind), to_string(cycle.status),
                            cycle.work.begin_s, cycle.work.end_s, cycle.rest.end_s, event(cycle.onset, cycle.rise_20_s, cycle.work.begin_s),
                            event(cycle.offset, cycle.fall_20_s, cycle.work.end_s));
        for (const Estimate& value : scored.values) text += number(value.value) + number(value.error);
        text += "\n";
    }
    for (const RestScore& rest : score.rests) text += fmt::format("rest{}{}\n", number(rest.mean_uv.value), number(rest.cv_pct.value));
    return text;
}

}  // namespace

TEST_CASE("the example week scores to its golden numbers") {
    const Plan plan = read_plan(read_bytes(kExamples + "plan-home-a.jsonc"), "plan");
    std::string text = "values:";
    for (const Measure& measure : measure_list()) text += " " + std::string(measure.key);
    text += "\n";
    int number = 0;
    for (const Scenario& scenario : read_scenarios(read_bytes(kExamples + "scenarios/home-week.json"), "week", plan))
        text += told(std::to_string(++number), score_of(simulate_recording(scenario).recording, plan));
    CHECK_GOLDEN_NUMBERS("example_week.txt", text, kTolerance);
}
