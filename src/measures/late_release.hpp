#pragma once
// Was the muscle still active when the next contraction was asked for?
#include <optional>
#include <span>

#include "tracehold/clean/clean.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {

// 'late_release' (caution) where missed contractions have, in the rest before their cue, activity at the level of a
// contraction: more than half of the way from the quietest level to the contractions that were found, medians. Then
// nothing tells a missed contraction from one that does not stand out. Its spans: their work windows.
// Empty where there is none, where no contraction was found, and where those found hardly differ from the quietest level.
std::optional<Finding> late_release_finding(std::span<const CycleView> views, double quietest_uv);

}  // namespace tracehold
