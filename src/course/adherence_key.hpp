#pragma once
#include <string_view>

namespace tracehold {

// What rules call the share of prescribed sessions that were held, and that of a step's contractions that were done.
inline constexpr std::string_view kAdherence = "adherence_pct";
inline constexpr std::string_view kStepDone = "step_done_pct";

// Of no single session.
inline bool is_of_course(std::string_view measure) { return measure == kAdherence || measure == kStepDone; }

}  // namespace tracehold
