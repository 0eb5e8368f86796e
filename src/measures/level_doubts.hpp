#pragma once
// Are the microvolts those of the muscle? A wrong unit or gain keeps every time and every ratio, and shows in levels alone.
#include <optional>
#include <span>
#include <vector>

#include "tracehold/clean/clean.hpp"
#include "tracehold/core/estimate.hpp"
#include "tracehold/measures/cycle_view.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold {

// All cautions. 'rest_high': the median rest level is above 20 µV. 'gain_changed': from one contraction on, or from
// one to another, both rest and hold levels are 1.5 times or more what they are elsewhere, or two thirds, by the same factor
// within a half, clear of their scatter, and abruptly: half as much is left beside the step as beside a steady change. 3
// contractions at least on either side, compared within their kind. Levels of views with cues out of step are not looked at.
std::vector<Finding> level_findings(std::span<const CycleView> views);

// 'reference_differs' (caution): the session's best second is above 4 times, or below a quarter, of the reference that the
// plan itself names. Empty without either.
std::optional<Finding> reference_finding(const Plan* plan, const Estimate& best_uv);

}  // namespace tracehold
