#pragma once
// Where in the trace the plan was performed, when neither marks nor the user say.
#include <span>

#include "cycles/cues.hpp"
#include "cycles/level_trace.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold {

// In: the contractions that the envelope shows, and a plan. Out: windows, offset_s (start of the plan) and confidence:
// the probability that every cue is right within 0.5 s, under the model described in the source. Below 0.8 a note says
// so. Allows for missed, extra, early and late contractions, for one pause between two cycles, and for a recorder that was
// switched on during the first two thirds of the plan or off during its last two thirds: the cycles before and after have no window.
// Pause, late start and early end become notes. Edges: no contraction at all, a confidence near 0, and the whole plan has to be
// in the recording. Errors: too_short (less than a third of the plan, or than three contractions), unsupported
// (more than 1e8 contractions times shifts of 0.1 s).
Cues align_plan(std::span<const Burst> bursts, const Plan& plan, double duration_s);

}  // namespace tracehold
