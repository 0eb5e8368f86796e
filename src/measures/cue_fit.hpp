#pragma once
// Do the cues belong to what the muscle did? Marks of another clock, a start that is off, a plan of other lengths show here.
#include <optional>
#include <span>

#include "tracehold/clean/clean.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {

// All cautions. With marks or a start: 'marks_exchanged', most contractions fill the time from a relax to a contract cue;
// 'cues_out_of_step', contractions begin long before or after their cue, a third of them or more, or as many come between
// the cues as are missing at them; where the median is beyond 1.5 s and two thirds of them lie within 0.5 s of it, to one side
// therefore, the text tells by how much cues and muscle are apart. With a plan fitted to the trace: 'lengths_off_plan', half of the holds or more are
// shorter, or longer, than it says by more than reaction and scatter explain, so it may be another one.
// Empty where none holds, where fewer than 3 contractions tell, and without cues.
std::optional<Finding> cue_fit_finding(std::span<const CycleView> views);

// 'starts_before_cues' (caution) where more than half of the contractions, of 6 at least, begin before their cue, each with
// its whole interval: nobody reacts before a cue. Too little to say that the cues are out of step, so all is measured.
// Only with marks or a start.
std::optional<Finding> early_starts_finding(std::span<const CycleView> views);

}  // namespace tracehold
