#pragma once
#include <string_view>
#include <vector>

#include "tracehold/core/units.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold {

// The code of the finding that says so of all cues of a recording; those beyond the plan are not among its cued windows.
inline constexpr std::string_view kCuesOffPlan = "cues_off_plan";

// The work windows that marks in the recording told, in order of time: what was performed, whatever plan it was scored
// against. Empty where the cues came from anywhere else.
std::vector<TimeSpan> cued_windows(const SessionScore& score);

// Whether what was performed can be a session of the plan that it was scored by; true without a plan. False of a visit that
// was scored by the home plan because that plan was given for all recordings.
bool follows_its_plan(const SessionScore& score);

}  // namespace tracehold
