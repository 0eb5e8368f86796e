#pragma once
// Do the cues belong to what the muscle did? Marks of another clock, a start that is off, a plan of other lengths show here.
#include <optional>
#include <span>

#include "tracehold/clean/clean.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {

// 'cues_out_of_step' (caution), with marks or a start: contractions begin long before or after their cue, a third of them or more, or as
// many come between the cues as are missing at them. 'lengths_off_plan' (caution), with a plan fitted to the trace: most
// holds last much less or much more than it says, so it may be another one.
// Empty where neither holds, where fewer than 3 contractions tell, and without cues.
std::optional<Finding> cue_fit_finding(std::span<const CycleView> views);

}  // namespace tracehold
