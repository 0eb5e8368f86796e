// What sessions drawn by lot score to: plans, muscles, cues, faults, settings and a clinician's corrections of all
// kinds, the odd ones too. None of it is a truth, that is what the other tests are for: it tells that a number, a
// status, a reason or a finding has changed. Read the difference, then accept it.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>

#include "measures/told_score.hpp"
#include "support/golden.hpp"
#include "support/lot.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

constexpr double kDrawnTolerance = 2e-5;  // compilers and processors differ in the last digits of sums of floats
constexpr std::uint64_t kDrawnSessions = 120;

Plan drawn_plan(Lot& lot) {
    Plan plan;
    plan.contract_cues = default_contract_cues();
    plan.relax_cues = default_relax_cues();
    const Step rest{StepKind::rest, lot.between(2.0, 8.0), 0, 1};
    const Step holds{StepKind::hold, lot.between(3.0, 8.0), lot.between(3.0, 8.0), lot.whole(2, 4)};
    const Step flicks{StepKind::rapid, lot.between(0.6, 1.5), lot.between(1.5, 4.0), lot.whole(3, 6)};
    const Step long_one{StepKind::endurance, lot.between(20.0, 30.0), lot.between(4.0, 10.0), 1};
    plan.steps = {rest};
    const int kind = lot.whole(0, 5);
    if (kind != 1 && kind != 3) plan.steps.push_back(holds);
    if (kind == 1 || kind == 2) plan.steps.push_back(flicks);
    if (kind == 3 || kind == 4) plan.steps.push_back(long_one);
    if (lot.chance(0.5)) plan.steps.push_back(rest);
    if (lot.chance(0.7)) {
        plan.threshold.emplace();
        (lot.chance(0.4) ? plan.threshold->microvolts : plan.threshold->percent_of_reference) = lot.between(4.0, 90.0);
        if (plan.threshold->percent_of_reference && lot.chance(0.4))
            plan.threshold->reference_uv = lot.between(5.0, 40.0);
    }
    for (const std::string_view key : {"hold_mean_uv", "release_s", "rest_mean_uv", "fade_pct"}) {
        if (lot.chance(0.3))
            plan.targets.push_back(
                {std::string(key), lot.chance(0.5) ? std::optional(lot.between(0.5, 20.0)) : std::nullopt, {}});
        if (!plan.targets.empty() && !plan.targets.back().below) plan.targets.back().above = 3.0;
    }
    return plan;
}

MuscleSetting drawn_muscle(Lot& lot) {
    MuscleSetting muscle;
    muscle.rest_uv = lot.by_factors(0.4, 6.0);
    muscle.rest_wander_pct = lot.chance(0.3) ? lot.between(10.0, 90.0) : 0.0;
    muscle.work_uv = muscle.rest_uv * lot.by_factors(1.2, 20.0);
    muscle.work_spread_pct = lot.by_factors(1.0, 40.0);
    muscle.rise_s = lot.by_factors(0.02, 2.0), muscle.fall_s = lot.by_factors(0.02, 2.5);
    muscle.shape = static_cast<RampShape>(lot.whole(0, 3));
    muscle.reaction_s = lot.chance(0.8) ? lot.between(0.0, 0.6) : lot.between(-1.0, 2.5);
    muscle.reaction_spread_s = lot.by_factors(0.02, 0.6);
    muscle.release_s = lot.chance(0.7) ? lot.between(0.0, 0.8) : lot.between(-1.5, 5.0);
    muscle.release_spread_s = lot.by_factors(0.02, 0.6);
    muscle.fade_pct_per_s = lot.chance(0.5) ? lot.between(-2.0, 12.0) : 0.0;
    muscle.compression_pct_per_s = lot.chance(0.3) ? lot.between(0.0, 3.0) : 0.0;
    return muscle;
}

Fault drawn_fault_of_session(Lot& lot, double length_s, double rest_uv) {
    Fault fault{.kind = static_cast<FaultKind>(lot.whole(0, static_cast<int>(FaultKind::gap))),
                .strength_uv = rest_uv * lot.by_factors(0.5, 100.0)};
    if (fault.kind == FaultKind::spikes) fault.hz = lot.by_factors(0.1, 4.0);
    if (fault.kind < FaultKind::heart_beats && lot.chance(0.5)) return fault;
    if (fault.kind == FaultKind::heart_beats) return fault;
    fault.length_s = lot.by_factors(0.1, 6.0);
    fault.from_s = lot.between(0.0, length_s - fault.length_s);
    return fault;
}

Scenario drawn_session(Lot& lot) {
    Scenario s;
    s.seed = static_cast<std::uint64_t>(lot.whole(1, 1000000));
    s.plan = drawn_plan(lot);
    s.rate_hz = lot.one_of(std::array{500.0, 1000.0, 1000.0, 1000.0, 2000.0, 300.0});
    s.sensor_floor_uv = lot.by_factors(0.1, 1.0);
    s.muscle = drawn_muscle(lot);
    if (lot.chance(0.3)) s.envelope_rate = Hertz{lot.one_of(std::array{4.0, 10.0, 20.0, 32.0, 50.0, 75.0})};
    if (lot.chance(0.3))
        s.accessory = drawn_muscle(lot), s.crosstalk_pct = lot.chance(0.6) ? lot.by_factors(2.0, 100.0) : 0.0;
    const int cycles = static_cast<int>(timeline(s.plan).size());
    if (lot.chance(0.2)) s.missed.push_back(lot.whole(1, cycles));
    if (lot.chance(0.3))
        s.plan.steps.push_back({StepKind::rest, 16.0, 0, 1}), s.extra_s.push_back(plan_length(s.plan).value - 7.0);
    s.marks = lot.chance(0.6);
    if (!s.marks) {
        s.lead_in_s = lot.chance(0.7) ? lot.between(0.0, 12.0) : -lot.between(0.0, 0.3) * plan_length(s.plan).value;
        if (lot.chance(0.3)) s.pause_after_cycle = lot.whole(1, cycles), s.pause_s = lot.between(4.0, 30.0);
    }
    const double length_s = s.lead_in_s + plan_length(s.plan).value + (s.pause_after_cycle > 0 ? s.pause_s : 0.0);
    for (int faults = lot.whole(-1, 2); faults > 0; --faults)
        s.faults.push_back(drawn_fault_of_session(lot, length_s, s.muscle.rest_uv));
    return s;
}

// Presses too many, too few, too late, in other words.
void disturb(Lot& lot, std::vector<Mark>& marks) {
    const double late_s = lot.chance(0.3) ? lot.between(-5.0, 5.0) : 0.0,
                 slip_s = lot.chance(0.5) ? lot.by_factors(0.01, 1.0) : 0.0;
    for (Mark& mark : marks) mark.time_s += late_s + slip_s * lot.between(-1.0, 1.0);
    if (lot.chance(0.4)) std::erase_if(marks, [&](const Mark&) { return lot.chance(0.2); });
    if (lot.chance(0.2)) std::erase_if(marks, [](const Mark& mark) { return mark.text == "relax"; });
    if (lot.chance(0.3))
        marks.push_back({lot.between(0.0, 20.0), lot.between(0.0, 2.0), lot.chance(0.5) ? "CONTRACT" : "she coughs"});
    std::sort(marks.begin(), marks.end(), [](const Mark& a, const Mark& b) { return a.time_s < b.time_s; });
}

// Mostly near what they correct.
Correction drawn_correction(Lot& lot, const Scenario& scenario, double length_s) {
    const std::vector<PlannedCycle> planned = timeline(scenario.plan);
    const int number = lot.whole(1, static_cast<int>(planned.size()));
    PlannedCycle cycle = planned[static_cast<std::size_t>(number - 1)];
    for (double* cue_s : {&cycle.contract_s, &cycle.relax_s, &cycle.end_s}) *cue_s += scenario.lead_in_s;
    Correction one{.file = {}, .action = static_cast<CorrectionAction>(lot.whole(0, 6)), .cycle = number};
    switch (one.action) {
        case CorrectionAction::move_contract_cue: one.from_s = cycle.contract_s + lot.between(-1.0, 0.5); break;
        case CorrectionAction::move_relax_cue: one.from_s = cycle.relax_s + lot.between(-0.3, 1.0); break;
        case CorrectionAction::move_onset: one.from_s = cycle.contract_s + lot.between(-0.2, 0.4); break;
        case CorrectionAction::move_offset: one.from_s = cycle.relax_s + lot.between(0.0, 1.0); break;
        case CorrectionAction::drop_cycle: break;
        case CorrectionAction::add_cycle: one.from_s = cycle.end_s - lot.between(0.5, 3.0); break;
        case CorrectionAction::mask: one.from_s = lot.between(cycle.contract_s - 1.0, cycle.end_s); break;
    }
    if (one.action == CorrectionAction::mask || one.action == CorrectionAction::add_cycle) one.cycle.reset();
    if (lot.chance(0.05)) one.from_s = lot.between(0.0, 1.1 * length_s);
    one.to_s = one.from_s + lot.by_factors(0.1, 4.0);
    return one;
}

ScoreSettings drawn_score_settings(Lot& lot, const Scenario& scenario) {
    ScoreSettings settings;
    if (lot.chance(0.2)) settings.envelope.method = EnvelopeMethod::rectified;
    if (lot.chance(0.3)) settings.envelope.window = Seconds{lot.by_factors(0.03, 0.5)};
    settings.envelope.subtract_noise_floor = lot.chance(0.1);
    settings.envelope.subtract_baseline = scenario.envelope_rate && lot.chance(0.3);
    if (!scenario.marks && lot.chance(0.4)) settings.cycles.start = Seconds{std::max(0.0, scenario.lead_in_s)};
    return settings;
}

std::string told_session(std::uint64_t number) {
    Lot lot(number);
    const Scenario scenario = drawn_session(lot);
    Recording recording = simulate_recording(scenario).recording;
    if (lot.chance(0.4)) disturb(lot, recording.marks);
    const ScoreSettings settings = drawn_score_settings(lot, scenario);
    std::vector<Correction> corrections;
    if (lot.chance(0.3)) {
        for (int i = lot.whole(1, 2); i > 0; --i)
            corrections.push_back(drawn_correction(lot, scenario, recording.duration_s()));
    }
    const Plan* plan = lot.chance(0.85) ? &scenario.plan : nullptr;
    try {
        return fmt::format("session {} {}", number,
                           told(score_of(recording, plan, corrections, settings, scenario.accessory.has_value())));
    } catch (const std::exception& error) {
        return fmt::format("session {} {}\n", number, error.what());
    }
}

}  // namespace

TEST_CASE("sessions drawn by lot score to their golden numbers") {
    std::string text;
    for (std::uint64_t number = 1; number <= kDrawnSessions; ++number) text += told_session(number);
    CHECK_GOLDEN_NUMBERS("drawn_sessions.txt", text, kDrawnTolerance);
}
