#pragma once
#include <span>
#include <vector>

#include "tracehold/cycles/cycles.hpp"
#include "tracehold/plan/plan.hpp"
#include "tracehold/read/corrections.hpp"

namespace tracehold {

// Applies a clinician's corrections; masks were applied to the signal. In: cycles numbered from 1. A cycle keeps its number; one that
// is added gets the next after all others, in order of the list, and rows below it may name that. Each changed cycle names what was
// changed; an onset of a missed cycle makes it done. Where a plan is followed (else null) a cycle that is added stands for a planned
// one where its middle lies in the place of a dropped one, or in that of no other where one of a step that may lie there has no cue;
// else it is extra. Errors: bad_setting (no such cycle, a time outside the recording, a cue that turns a window over or runs into
// another, the same correction of a cycle twice), naming the lines of the list where they were written.
void correct_cycles(std::vector<Cycle>& cycles, std::span<const Correction> corrections, double duration_s,
                    const Plan* plan = nullptr);

}  // namespace tracehold
