#pragma once
// Resting activity where the plan asks for rest alone: before the first contraction, between steps, after the last.
#include <string>
#include <vector>

#include "tracehold/measures/cycle_view.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold {

// One for each rest step, in the order of the plan; none without a plan and none where cues are 'trace'. A rest step is placed by the
// contractions beside it: from the end of the rest after the last one before it; before the first contraction of the plan, or where
// that one has no place in the recording, up to the first cue after it. why_none: nothing may be given of the session; "" = it may.
std::vector<RestScore> rest_scores_of(const ViewInput& input, const std::string& why_none);

}  // namespace tracehold
