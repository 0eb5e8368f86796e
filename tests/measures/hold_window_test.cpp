// Where a contraction is measured: whatever cue it has, the hold holds neither the rise nor the fall, and a rapid contraction is
// not measured in the reaction before it.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "measures/made_session.hpp"
#include "measures/told_score.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

EventTime at(double time_s) { return {time_s, 0.02, time_s - 0.04, time_s + 0.04, false}; }

// Between onset and offset a level of 20 µV with straight ramps of that length, rest of 1 µV; cues from 10 s on.
struct Ramps {
    double work_s = 6.0, onset_s = 0.3, offset_s = 6.6, ramp_s = 0.5;  // from the cue to contract
};

MadeSession ramped(Ramps how, StepKind kind = StepKind::hold) {
    MadeSession made = made_session(1000, 30, [=](double t) {
        const double risen = (t - 10.0 - how.onset_s) / how.ramp_s, left = (10.0 + how.offset_s - t) / how.ramp_s;
        return 1.0 + 19.0 * std::clamp(std::min(risen, left), 0.0, 1.0);
    });
    Cycle cycle = made_cycle(10, 10 + how.work_s, 30, kind);
    cycle.onset = at(10.0 + how.onset_s);
    cycle.offset = at(10.0 + how.offset_s);
    add_cycle(made, cycle);
    return made;
}

void check_hold(const MadeSession& made, double begin_s, double end_s) {
    CHECK(made.view().hold.begin_s == doctest::Approx(10.0 + begin_s));
    CHECK(made.view().hold.end_s == doctest::Approx(10.0 + end_s));
}

// Of muscles that keep their level to the end: what the plan asks for, and what was done of it.
SessionScore simulated(double reaction_s, double release_s, bool marks, std::uint64_t seed) {
    Scenario scenario;
    scenario.plan.contract_cues = default_contract_cues();
    scenario.plan.relax_cues = default_relax_cues();
    scenario.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 6, 9, 8}, {StepKind::rapid, 1, 4, 8}};
    scenario.seed = seed;
    scenario.rate_hz = 1000;
    scenario.marks = marks;
    scenario.muscle = {.rest_uv = 2.4, .work_uv = 15.5, .rise_s = 0.45, .fall_s = 0.45, .reaction_s = reaction_s, .release_s = release_s};
    return score_of(simulate_recording(scenario).recording, &scenario.plan);
}

const Summary& summary_of(const StepScore& step, const char* key) { return step.measures[*measure_index(key)]; }

}  // namespace

TEST_CASE("a hold begins a second after cue and onset and ends with the cue or a second before the offset") {
    check_hold(ramped({}), 1.3, 5.6);
    check_hold(ramped({.onset_s = -0.4}), 1.0, 5.6);                   // expected: the hold is what was asked for
    check_hold(ramped({.offset_s = 7.5}), 1.3, 6.0);                   // let go late
    check_hold(ramped({.onset_s = 1.5, .offset_s = 4.5}), 2.5, 3.5);   // the middle third
    check_hold(ramped({.onset_s = 0.3, .offset_s = 1.8}), 0.8, 1.3);   // a third of a short one
    MadeSession open = ramped({});
    open.cycles.cycles[0].offset.reset();
    check_hold(open, 1.3, 6.0);
    open.cycles.cycles[0].onset.reset();
    check_hold(open, 1.0, 6.0);
    for (const double release_s : {-1.5, -0.6, 0.0, 0.8}) {
        CAPTURE(release_s);
        const MadeSession made = ramped({.onset_s = 0.9, .offset_s = 6.5 + release_s});
        CHECK(*made.value("fade_pct").value == doctest::Approx(0.0).epsilon(1e-4));
        CHECK(*made.value("hold_mean_uv").value == doctest::Approx(20.0));
    }
    CHECK(ramped({.onset_s = 0.3, .offset_s = 4.0}).value("fade_pct").reason == "the hold is shorter than 2 s");
}

TEST_CASE("what begins in the last second before the cue to relax is no hold") {
    const MadeSession late = ramped({.onset_s = 5.2, .offset_s = 9.0});
    for (const char* key : {"hold_mean_uv", "lift_uv", "fade_pct", "steadiness_cv_pct"}) {
        CAPTURE(std::string(key));
        CHECK(late.value(key).reason == "the contraction began too late for a hold");
    }
    CHECK(*late.value("peak_uv").value == doctest::Approx(20.0).epsilon(0.001));
}

TEST_CASE("a rapid contraction is measured from its onset on and counted from its cue") {
    for (const double reaction_s : {0.0, 0.3, 0.9}) {
        CAPTURE(reaction_s);
        const MadeSession made = ramped({.work_s = 1.0, .onset_s = reaction_s, .offset_s = reaction_s + 1.2, .ramp_s = 0.2}, StepKind::rapid);
        check_hold(made, reaction_s + 1.0 / 3.0, reaction_s + 1.2 - 1.0 / 3.0);
        CHECK(*made.value("hold_mean_uv").value == doctest::Approx(20.0));
        CHECK(*made.value("peak_uv").value == doctest::Approx(20.0));
        CHECK(*made.value("work_mean_uv").value == doctest::Approx(0.2 * 10.5 + 0.8 * 20.0).epsilon(0.001));
        CHECK(*made.value("reaction_s").value == doctest::Approx(reaction_s));
        CHECK(*made.value("time_to_hold_s").value == doctest::Approx(reaction_s + 0.18).epsilon(0.02));
        CHECK(*made.value("release_s").value == doctest::Approx(std::max(0.0, reaction_s + 1.2 - 0.02 - 1.0)).epsilon(0.02));
    }
}

TEST_CASE("what begins after the cue to relax has not been let go before it") {
    const MadeSession late = ramped({.work_s = 1.0, .onset_s = 1.1, .offset_s = 2.3, .ramp_s = 0.2}, StepKind::rapid);
    CHECK(late.value("release_s").reason == "begun after the cue to relax");
    CHECK(*late.value("hold_mean_uv").value == doctest::Approx(20.0));
}

TEST_CASE("a level that is kept does not fade whenever it began and was let go") {
    std::size_t told = 0;
    std::uint64_t seed = 300;
    for (const bool marks : {true, false}) {
        for (const auto& [reaction_s, release_s] : {std::pair{0.3, -1.0}, {0.3, -0.6}, {0.3, 0.35}, {0.9, 0.2}, {1.2, 0.2}, {1.4, 0.2}}) {
            CAPTURE(reaction_s);
            CAPTURE(release_s);
            CAPTURE(marks);
            const SessionScore score = simulated(reaction_s, release_s, marks, ++seed);
            const Summary& fade = summary_of(score.steps[0], "fade_pct");
            if (fade.n < 2) continue;
            ++told;
            CHECK(std::abs(*fade.mean) < 4.0 * *fade.sd / std::sqrt(static_cast<double>(fade.n)));
            CHECK(std::abs(*fade.mean) < 12.0);
        }
    }
    CHECK_GE(told, 10);
}

TEST_CASE("a rapid contraction reads the same by marks and by cues that were estimated") {
    for (const double reaction_s : {0.2, 0.5, 0.9}) {
        CAPTURE(reaction_s);
        const SessionScore marked = simulated(reaction_s, 0.3, true, 400), fitted = simulated(reaction_s, 0.3, false, 400);
        REQUIRE(fitted.cues == CueSource::aligned);
        for (const char* key : {"work_mean_uv", "hold_mean_uv", "peak_uv"}) {
            CAPTURE(std::string(key));
            const Summary &by_marks = summary_of(marked.steps[1], key), &by_fit = summary_of(fitted.steps[1], key);
            CHECK_GE(by_marks.n, 7);
            CHECK(*by_fit.mean == doctest::Approx(*by_marks.mean).epsilon(0.05));
        }
        const double hold_uv = *summary_of(marked.steps[0], "hold_mean_uv").mean;
        CHECK(*summary_of(marked.steps[1], "hold_mean_uv").mean > 0.75 * hold_uv);
    }
}
