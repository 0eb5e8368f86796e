#include "simulate/session.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "simulate/check_scenario.hpp"
#include "simulate/faults.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr double kExtra_s = 2.0;      // length of a contraction nobody asked for, to the begin of its fall
constexpr double kTrialSlot_s = 8.0;  // one trial contraction in each such stretch before the plan

bool is_missed(const Scenario& scenario, int planned) {
    return std::find(scenario.missed.begin(), scenario.missed.end(), planned) != scenario.missed.end();
}

TrueContraction described(const Demand& demand, const Effort& effort) {
    TrueContraction out;
    out.planned = demand.planned;
    out.kind = demand.kind;
    out.work = {demand.from_s, demand.to_s};
    out.rest_end_s = demand.rest_end_s;
    out.onset_s = effort.onset_s;
    out.rise_end_s = effort.rise_end_s;
    out.fall_begin_s = effort.fall_begin_s;
    out.offset_s = effort.offset_s;
    return out;
}

TrueContraction unplanned(const Effort& effort) {
    return described({std::nullopt, StepKind::hold, effort.onset_s, effort.fall_begin_s, effort.offset_s}, effort);
}

TrueContraction not_performed(const Demand& demand) {
    const double cue = demand.from_s;
    TrueContraction out = described(demand, {cue, cue, cue, cue, 0.0, 1.0});
    out.performed = false;
    return out;
}

// How the muscle answers each demand, in their order; empty where it is missed.
std::vector<std::optional<Effort>> follow_plan(const Scenario& scenario, const std::vector<Demand>& asked,
                                               const MuscleSetting& muscle, Purpose purpose) {
    std::vector<std::optional<Effort>> efforts;
    double free_from_s = -std::numeric_limits<double>::infinity();
    for (const Demand& demand : asked) {
        efforts.emplace_back();
        if (is_missed(scenario, *demand.planned)) continue;
        const RandomStream stream(scenario.seed, purpose, static_cast<std::uint32_t>(*demand.planned));
        efforts.back() = answer(muscle, demand, *demand.planned - 1, stream, free_from_s);
        free_from_s = efforts.back()->offset_s;
    }
    return efforts;
}

std::vector<Effort> performed(const std::vector<std::optional<Effort>>& efforts) {
    std::vector<Effort> out;
    for (const auto& effort : efforts) {
        if (effort) out.push_back(*effort);
    }
    return out;
}

// The contractions that no cue asks for: the scenario's extra ones, and trials before the plan starts.
std::vector<Effort> unasked(const Scenario& scenario) {
    std::vector<Effort> efforts;
    for (std::uint32_t i = 0; i < scenario.extra_s.size(); ++i) {
        const double onset_s = recording_time(scenario, scenario.extra_s[i]);
        const RandomStream stream(scenario.seed, Purpose::extra_effort, i);
        efforts.push_back(voluntary(scenario.muscle, onset_s, onset_s + kExtra_s, 1.0, stream));
    }
    for (std::uint32_t i = 0; (i + 1) * kTrialSlot_s <= scenario.lead_in_s; ++i) {
        RandomStream stream(scenario.seed, Purpose::trial_effort, i);
        const double onset_s = i * kTrialSlot_s + stream.uniform(1, 3), length_s = stream.uniform(1, 3);
        const double share = stream.uniform(0.3, 1);
        efforts.push_back(voluntary(scenario.muscle, onset_s, onset_s + length_s, share, stream));
    }
    return efforts;
}

void refuse_overlap(const std::vector<TrueContraction>& contractions) {
    const TrueContraction* last = nullptr;
    for (const TrueContraction& contraction : contractions) {
        if (!contraction.performed) continue;
        if (last != nullptr && contraction.onset_s < last->offset_s) {
            refuse_scenario("/extra_s", "a contraction that nobody asked for overlaps another one at " +
                                            number_text(contraction.onset_s) + " s of the recording");
        }
        last = &contraction;
    }
}

// Everything the muscle does, by onset to refuse what overlaps, then by cue; without what was over before the recording
// began.
std::vector<TrueContraction> put_in_order(std::vector<TrueContraction> contractions) {
    const auto by_onset = [](const TrueContraction& a, const TrueContraction& b) { return a.onset_s < b.onset_s; };
    std::stable_sort(contractions.begin(), contractions.end(), by_onset);
    refuse_overlap(contractions);
    const auto by_cue = [](const TrueContraction& a, const TrueContraction& b) {
        return a.work.begin_s < b.work.begin_s;
    };
    std::stable_sort(contractions.begin(), contractions.end(), by_cue);
    std::erase_if(contractions, [](const TrueContraction& c) { return c.work.end_s <= 0; });
    return contractions;
}

}  // namespace

std::vector<double> power_of(const Performance& muscle, Hertz rate, std::size_t size) {
    return muscle_power(muscle.setting, muscle.efforts, muscle.wander_turns, rate, size);
}

Session work_out(const Scenario& scenario) {
    const std::vector<Demand> asked = demands(scenario);
    const auto answers = follow_plan(scenario, asked, scenario.muscle, Purpose::effort);
    Performance main{scenario.muscle, performed(answers), RandomStream(scenario.seed, Purpose::rest_wander).uniform()};
    std::vector<TrueContraction> contractions;
    for (std::size_t i = 0; i < asked.size(); ++i) {
        contractions.push_back(answers[i] ? described(asked[i], *answers[i]) : not_performed(asked[i]));
    }
    for (const Effort& effort : unasked(scenario)) {
        main.efforts.push_back(effort);
        contractions.push_back(unplanned(effort));
    }

    const double duration_s = recording_length(scenario).value;
    const auto size = static_cast<std::size_t>(std::llround(duration_s * scenario.rate_hz));
    Session session{scenario, Hertz{scenario.rate_hz},    duration_s,      size,
                    {},       put_in_order(contractions), std::move(main), {}};
    for (const Fault& fault : scenario.faults) session.faults.push_back(completed(fault, duration_s));
    if (scenario.accessory) {
        const auto along = follow_plan(scenario, asked, *scenario.accessory, Purpose::accessory_effort);
        session.accessory.emplace(Performance{*scenario.accessory, performed(along), 0.0, Purpose::accessory_noise});
    }
    return session;
}

}  // namespace tracehold
