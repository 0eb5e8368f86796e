#pragma once
// The verb of this room.
#include <span>

#include "tracehold/clean/clean.hpp"
#include "tracehold/cycles/cycles.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/plan/plan.hpp"
#include "tracehold/read/corrections.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

// What find_cycles looks at. plan may be null. References must outlive the call only.
struct CycleInput {
    const CleanRecording& clean;
    const Envelope& envelope;
    std::span<const Mark> marks;
    const Plan* plan = nullptr;
    std::span<const Correction> corrections;  // of this recording
};

// Cues first (marks, given start, alignment where the trace shows by odds of 20 to 1 that the plan was performed, or the
// trace alone with a note 'plan_not_found'), then for each window whether there is a contraction and when it starts and
// ends; contractions of the session outside all windows become extra cycles, those before a plan starts or after it ends
// are counted in a note; a contraction that the recording begins within has a note and no cycle, unless it has its cue; no
// more cycles count as planned than the plan asks for, and what fits none of its own is extra (where the marks do not follow
// the plan at all: a note 'cues_off_plan'); contractions that all begin the same time before or after their marks or start, by
// more than people do, belong to them all the same, as do slow ones of one step; a rest ends where an extra contraction begins;
// corrections are applied last and named; then each contraction is told early, late or as usual.
// Errors: too_short (without marks: the plan from a given start is longer than the recording by more than its last rest, or less
// than a third of it could be there), bad_setting (start outside the recording; a correction that names no
// cycle), unsupported (more than 10000 windows and contractions).
Cycles find_cycles(const CycleInput& input, const CycleSettings& settings = {});

}  // namespace tracehold
