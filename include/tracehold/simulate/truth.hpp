#pragma once
// What is true of a simulated recording. All times in seconds of the recording.
#include <optional>
#include <vector>

#include "tracehold/core/units.hpp"
#include "tracehold/plan/plan.hpp"
#include "tracehold/simulate/scenario.hpp"

namespace tracehold {

struct TrueContraction {
    std::optional<int> planned;  // number of the planned cycle, from 1; empty for extra and trial ones
    StepKind kind = StepKind::hold;
    bool performed = true;
    TimeSpan work;  // cues; of an unplanned one: onset to the begin of its fall
    double rest_end_s = 0.0;
    double onset_s = 0.0;  // begin of the rise; where not performed, all four stand at the contract cue
    double rise_end_s = 0.0;
    double fall_begin_s = 0.0;
    double offset_s = 0.0;    // end of the fall
    double plateau_uv = 0.0;  // RMS of the whole signal at the plateau's start (rest and floor included, as power sums)
};

// Always true: contractions in order of their cue, those whose relax cue lies in the recording.
struct Truth {
    std::vector<TrueContraction> contractions;
    double rest_uv = 0.0;  // RMS of the whole clean signal at rest in the band
    std::vector<float>
        amplitude_uv;  // the noiseless RMS profile of the main channel, before faults, at profile_rate_hz
    double profile_rate_hz = 100.0;
    double plan_starts_s = 0.0;
    std::vector<Fault> faults;  // with every default filled in
};

}  // namespace tracehold
