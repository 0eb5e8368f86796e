#pragma once
#include <string>
#include <string_view>

#include "tracehold/plan/plan.hpp"

namespace tracehold {

// The text of a plan file with another threshold: everything else, comments and layout included, stays as it was. A plan
// without a threshold gets one before its closing brace.
// In: text that read_plan accepts. Errors: malformed (no JSON object).
std::string replace_threshold(std::string_view plan_text, const Threshold& threshold, const std::string& source);

}  // namespace tracehold
