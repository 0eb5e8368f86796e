#pragma once
#include <algorithm>
#include <string_view>

#include "tracehold/course/rules.hpp"

namespace tracehold {

// What rules call the share of prescribed sessions that were held, that of a step's contractions that were done, and the days
// since the last session while the plan goes on.
inline constexpr std::string_view kAdherence = "adherence_pct";
inline constexpr std::string_view kStepDone = "step_done_pct";
inline constexpr std::string_view kSilentDays = "silent_days";

// Of no single session.
inline bool is_of_course(std::string_view measure) {
    return measure == kAdherence || measure == kStepDone || measure == kSilentDays;
}

// It looks at no phase.
inline bool is_of_course(const Rule& rule) {
    return rule.posture.empty() && !rule.contraction &&
           std::all_of(rule.when.begin(), rule.when.end(), [](const RuleCondition& condition) { return is_of_course(condition.measure); });
}

}  // namespace tracehold
