#pragma once
// The verb of this room.
#include <optional>
#include <span>

#include "tracehold/clean/clean.hpp"
#include "tracehold/cycles/cycles.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold {

// References must outlive the call only.
struct ScoreInput {
    RecordingFacts recording;
    std::span<const Note> notes;  // of reading
    const CleanRecording& clean;
    const Envelope& envelope;
    const Cycles& cycles;
    const Plan* plan = nullptr;
    const Envelope* accessory = nullptr;
    const CleanRecording* accessory_trace = nullptr;  // that its envelope follows
    std::span<const Correction> corrections;
    ScoreSettings settings;
};

// Measures every cycle and summarises the session. Adds the doubts about the cues, the finding 'low_contrast' (caution)
// where work hardly differs from rest, 'no_usable_cycle' (reject) where too little of every cycle is valid, 'reference_off'
// (reject) where nothing but hum is there, and 'crosstalk' (caution) where the accessory's signal is in it. Where the
// contractions do not follow their marks or the start, nothing is measured by them. Edges: no cycles gives a score
// with a note 'no_contractions'. Errors: bad_setting (a target names no measure of the list).
SessionScore score_session(const ScoreInput& input);

}  // namespace tracehold
