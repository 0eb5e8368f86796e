#pragma once
// From scored cycles to what a session comes to.
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "tracehold/measures/session_score.hpp"

namespace tracehold {

// Holds where any cycle (but extra ones) is a hold, else rapid, else endurance; hold where there are no cycles.
StepKind summary_kind_of(std::span<const ScoredCycle> cycles);

// One Summary per measure over the done cycles; of one kind and step where given.
struct CycleFilter {
    std::optional<StepKind> kind;
    std::optional<int> step;
};
std::vector<Summary> summaries_of(std::span<const ScoredCycle> cycles, const CycleFilter& filter);

// With a plan: one per step with work in it, in order. Without: one per kind that occurs.
std::vector<StepScore> step_scores_of(std::span<const ScoredCycle> cycles, const Plan* plan, CueSource cues);

// Of a score with cycles and plan, in the order of the plan, whose targets require_possible_targets let pass.
std::vector<TargetOutcome> target_outcomes_of(const SessionScore& score);

}  // namespace tracehold
