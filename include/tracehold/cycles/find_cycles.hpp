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

// Cues first (marks, given start, alignment, or the trace alone), then for each window whether there is a contraction and when
// it starts and ends; contractions of the session outside all windows become extra cycles, those before a plan starts or after it
// ends are counted in a note; a rest ends where an extra contraction begins; corrections are applied last and named.
// Errors: too_short (the plan is longer than the recording by more than its last rest), bad_setting (start outside the
// recording; a correction that names no cycle).
Cycles find_cycles(const CycleInput& input, const CycleSettings& settings = {});

}  // namespace tracehold
