#include "measures/session_summary.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "tracehold/measures/measure_list.hpp"

namespace tracehold {
namespace {

constexpr std::array kKinds{StepKind::hold, StepKind::rapid, StepKind::endurance};

bool passes(const Cycle& cycle, const CycleFilter& filter) {
    return (!filter.kind || cycle.kind == *filter.kind) && (!filter.step || cycle.step == filter.step);
}

std::vector<double> values_of(std::span<const ScoredCycle> cycles, const CycleFilter& filter, std::size_t measure) {
    std::vector<double> values;
    for (const ScoredCycle& scored : cycles) {
        if (scored.cycle.status != CycleStatus::done || !passes(scored.cycle, filter)) continue;
        if (const auto& value = scored.values[measure].value) values.push_back(*value);
    }
    return values;
}

StepScore step_score(std::span<const ScoredCycle> cycles, const CycleFilter& filter) {
    StepScore score{.step = filter.step, .kind = *filter.kind, .measures = summaries_of(cycles, filter)};
    for (const auto& [cycle, values] : cycles) {
        if (!passes(cycle, filter)) continue;
        score.done += cycle.status == CycleStatus::done;
        score.missed += cycle.status == CycleStatus::missed;
        score.unusable += cycle.status == CycleStatus::unusable;
    }
    return score;
}

// Why no done cycle of a kind has a value: the reason of the first.
std::string reason_for_none(std::span<const ScoredCycle> cycles, const CycleFilter& filter, std::size_t measure) {
    bool any_done = false;
    for (const ScoredCycle& scored : cycles) {
        if (scored.cycle.status != CycleStatus::done) continue;
        if (passes(scored.cycle, filter)) return scored.values[measure].reason;
        any_done = true;
    }
    if (any_done) return "no contraction of the kind that the target is for was done";
    return cycles.empty() ? "there is no contraction to measure" : "no contraction was done";
}

Estimate session_mean(std::span<const ScoredCycle> cycles, StepKind kind, std::size_t measure) {
    // Endurance is of endurance contractions, whatever the session's other measures are summarised over.
    const bool of_kind = measure_list()[measure].family != "endurance";
    const CycleFilter filter = of_kind ? CycleFilter{.kind = kind, .step = {}} : CycleFilter{};
    const std::vector<double> values = values_of(cycles, filter, measure);
    if (values.empty()) return Estimate::none(reason_for_none(cycles, filter, measure));
    const Summary summary = summarise(values);
    Estimate mean = Estimate::of(*summary.mean);
    if (summary.sd) mean.error = *summary.sd / std::sqrt(static_cast<double>(summary.n));
    return mean;
}

}  // namespace

StepKind summary_kind_of(std::span<const ScoredCycle> cycles) {
    for (const StepKind kind : kKinds) {
        const bool any = std::any_of(cycles.begin(), cycles.end(), [&](const ScoredCycle& scored) {
            return scored.cycle.kind == kind && scored.cycle.status != CycleStatus::extra;
        });
        if (any) return kind;
    }
    return StepKind::hold;
}

std::vector<Summary> summaries_of(std::span<const ScoredCycle> cycles, const CycleFilter& filter) {
    std::vector<Summary> summaries;
    for (std::size_t measure = 0; measure < measure_list().size(); ++measure) {
        summaries.push_back(summarise(values_of(cycles, filter, measure)));
    }
    return summaries;
}

std::vector<StepScore> step_scores_of(std::span<const ScoredCycle> cycles, const Plan* plan, CueSource cues) {
    std::vector<StepScore> scores;
    if (plan != nullptr && cues != CueSource::trace) {
        for (std::size_t i = 0; i < plan->steps.size(); ++i) {
            const Step& step = plan->steps[i];
            if (step.kind == StepKind::rest) continue;
            scores.push_back(step_score(cycles, {.kind = step.kind, .step = static_cast<int>(i)}));
            scores.back().planned = static_cast<std::size_t>(std::max(0, step.times));
        }
        return scores;
    }
    for (const StepKind kind : kKinds) {
        StepScore score = step_score(cycles, {.kind = kind, .step = {}});
        const std::size_t cued = score.done + score.missed + score.unusable;
        score.planned = cues == CueSource::trace ? 0 : cued;
        if (cued > 0) scores.push_back(std::move(score));
    }
    return scores;
}

std::vector<TargetOutcome> target_outcomes_of(const SessionScore& score) {
    std::vector<TargetOutcome> outcomes;
    for (const Target& target : score.plan->targets) {
        TargetOutcome outcome{target, session_mean(score.cycles, score.summary_kind, *measure_index(target.measure)), std::nullopt};
        if (outcome.value && is_held_against_target(score, target.measure)) {
            const double value = *outcome.value.value;
            outcome.met = target.below ? value < *target.below : value > target.above.value_or(value);
        }
        outcomes.push_back(std::move(outcome));
    }
    return outcomes;
}

}  // namespace tracehold
