// The whole way from a simulated recording: noise of the spectrum of muscle, a band-pass, an envelope, and then the
// cycles.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/cycles/find_cycles.hpp"
#include "tracehold/envelope/follow_envelope.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

using namespace tracehold;

namespace {

Plan mixed_plan() {
    Plan plan;
    plan.posture = "lying";
    plan.steps = {{StepKind::rest, 20, 0, 1},
                  {StepKind::hold, 8, 10, 5},
                  {StepKind::rapid, 1, 4, 5},
                  {StepKind::endurance, 30, 30, 1}};
    plan.contract_cues = default_contract_cues();
    plan.relax_cues = default_relax_cues();
    return plan;
}

// 10 dB of activity over rest. Which contractions are missed and where an extra one lies goes round with the number.
Scenario scenario_of(int number) {
    Scenario scenario;
    scenario.plan = mixed_plan();
    scenario.seed = static_cast<std::uint64_t>(number);
    scenario.rate_hz = 1000.0;
    scenario.lead_in_s = std::fmod(17.3 * number, 60.0);
    scenario.muscle.rest_uv = 3.0;
    scenario.muscle.work_uv = 9.5;
    scenario.missed = {1 + number % 11, 1 + (number + 4) % 11};
    scenario.extra_s = {33.0 + 18.0 * (number % 4)};
    return scenario;
}

Cycles cycles_of(const Simulated& simulated, const Plan& plan, bool marks) {
    const CleanRecording clean = clean_recording(simulated.recording, 0);
    const Envelope envelope = follow_envelope(clean);
    const std::vector<Mark> none;
    return find_cycles({clean, envelope, marks ? simulated.recording.marks : none, &plan, {}});
}

const TrueContraction* planned(const Truth& truth, int number) {
    for (const TrueContraction& c : truth.contractions) {
        if (c.planned == number) return &c;
    }
    return nullptr;
}

}  // namespace

TEST_CASE("marks of a simulated session give its cues and what was missed and what was extra") {
    int mistakes = 0, extras = 0;
    for (int i = 1; i <= 12; ++i) {
        const Scenario scenario = scenario_of(i);
        const Simulated simulated = simulate_recording(scenario);
        const Cycles found = cycles_of(simulated, scenario.plan, true);
        CHECK(found.from == CueSource::marks);
        int number = 0;
        for (const Cycle& cycle : found.cycles) {
            if (cycle.status == CycleStatus::extra) {
                ++extras;
                continue;
            }
            const TrueContraction* truth = planned(simulated.truth, ++number);
            REQUIRE(truth);
            CHECK(std::abs(cycle.work.begin_s - truth->work.begin_s) < 0.01);
            mistakes += (cycle.status == CycleStatus::done) != truth->performed;
        }
        CHECK(number == 11);
    }
    CHECK(mistakes <= 6);  // of 132
    CHECK(extras == 12);   // what they tried out before the plan is none of it
}

TEST_CASE("marks four seconds late give the same contractions") {
    for (int i = 1; i <= 4; ++i) {
        const Scenario scenario = scenario_of(i);
        Simulated simulated = simulate_recording(scenario);
        const Cycles right = cycles_of(simulated, scenario.plan, true);
        for (Mark& mark : simulated.recording.marks) mark.time_s += 4.0;
        const Cycles late = cycles_of(simulated, scenario.plan, true);
        REQUIRE(late.cycles.size() == right.cycles.size());
        std::size_t i_late = 0;
        for (const Cycle& cycle : right.cycles) {
            CAPTURE(i);
            CAPTURE(cycle.index);
            if (cycle.status == CycleStatus::extra) continue;
            while (late.cycles[i_late].status == CycleStatus::extra) ++i_late;
            const Cycle& other = late.cycles[i_late++];
            CHECK(to_string(other.status) == to_string(cycle.status));
            if (cycle.onset && other.onset) CHECK(std::abs(other.onset->time_s - cycle.onset->time_s) < 0.1);
        }
    }
}

TEST_CASE("simulated sessions without marks are aligned within half a second") {
    int right = 0, sure_and_wrong = 0;
    for (int i = 1; i <= 20; ++i) {
        const Scenario scenario = scenario_of(i);
        const Simulated simulated = simulate_recording(scenario);
        const Cycles found = cycles_of(simulated, scenario.plan, false);
        CHECK(found.from == CueSource::aligned);
        const bool near = std::abs(*found.offset_s - simulated.truth.plan_starts_s) <= 0.5;
        right += near;
        sure_and_wrong += !near && *found.confidence >= 0.8;
    }
    CHECK(right >= 19);
    CHECK(sure_and_wrong == 0);
}

TEST_CASE("a release too slow to be placed does not bend where contractions begin") {
    int held = 0, onsets = 0;
    for (int number = 1; number <= 6; ++number) {
        Scenario scenario = scenario_of(number);
        scenario.missed.clear();
        scenario.extra_s.clear();
        scenario.muscle.work_uv = 16.0;
        scenario.muscle.release_s = 2.0;
        scenario.muscle.fall_s = 1.5;
        const Simulated simulated = simulate_recording(scenario);
        for (const Cycle& cycle : cycles_of(simulated, mixed_plan(), true).cycles) {
            const TrueContraction* truth = planned(simulated.truth, cycle.index);
            if (!cycle.onset || truth == nullptr) continue;
            ++onsets;
            held += cycle.onset->low_s <= truth->onset_s && truth->onset_s <= cycle.onset->high_s;
        }
    }
    CHECK(onsets >= 45);           // of 66: rapid ones may begin before the muscle has let go
    CHECK(held >= 0.88 * onsets);  // 95 % less three standard errors
}
