#pragma once
#include <span>

#include "tracehold/core/units.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold {

// Whether the work windows that the cues of a recording tell can be those of a session by this plan.
// In: windows in order of time. Out: true where at least half of them fit contractions of the plan in their order: in
// length, and in the time up to the next cue. Cut, paused and incomplete sessions still follow; no windows at all
// contradict nothing, so they do too.
// Source: our choice. Half, because a session with every second cue lost is still one of the plan, and a visit with
// other lengths of hold or rest fits nowhere.
bool follows_plan(std::span<const TimeSpan> work, const Plan& plan);

// Whether a length seen can be the one that was asked for.
bool alike_in_length(double seen_s, double planned_s);

}  // namespace tracehold
