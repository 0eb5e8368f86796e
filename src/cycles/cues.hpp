#pragma once
// Where the cues of a session lie, before anything is said of the muscle.
#include <optional>
#include <span>
#include <vector>

#include "tracehold/core/note.hpp"
#include "tracehold/cycles/cycles.hpp"
#include "tracehold/plan/plan.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

struct CueWindow {
    std::optional<int> step;  // of the plan
    StepKind kind = StepKind::hold;
    TimeSpan work;
    double rest_end_s = 0.0;
};

// Always true: windows in order, work windows do not overlap, all within the recording but for a last rest that is cut.
struct Cues {
    CueSource from = CueSource::trace;
    std::optional<double> offset_s;
    std::optional<double> confidence;
    std::vector<CueWindow> windows;
    double evidence = 0.0;  // aligned only: log odds that the plan was performed at all, against other contractions
    std::vector<Note> notes;
};

// By its length alone: up to 2.5 s rapid, from 20 s endurance, else hold. Our choice, because plans of flicks ask for
// 1-2 s and endurance work for 30 s and more; moving it changes only what an unplanned contraction is called.
StepKind kind_by_length(double seconds);

// From marks whose text is a contract or relax cue of the plan, or of the defaults without one. Where the marks say too
// little (no contract marks; no plan and no relax mark at all) there are no windows, and a note says so.
Cues cues_from_marks(std::span<const Mark> marks, const Plan* plan, double duration_s);

// The plan from a known start. Errors: bad_setting (start outside the recording), too_short.
Cues cues_from_start(const Plan& plan, double start_s, double duration_s);

// Error too_short where the plan from start_s is longer than the recording by more than its last rest.
void check_length(const Plan& plan, double start_s, double duration_s);

}  // namespace tracehold
