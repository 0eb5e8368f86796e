#pragma once
#include <vector>

#include "tracehold/core/units.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold {

// The work windows that marks in the recording told, in order of time: what was performed, whatever plan it was scored
// against. Empty where the cues came from anywhere else.
std::vector<TimeSpan> cued_windows(const SessionScore& score);

}  // namespace tracehold
