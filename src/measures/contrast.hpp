#pragma once
// Can work be told from rest in this session at all?
#include <optional>
#include <span>

#include "tracehold/clean/clean.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {

// 'low_contrast' (caution) where the median over the done and missed cycles of hold level / rest level is under 1.5.
// 'no_usable_cycle' (reject) where there are cycles and each has too little valid signal.
// Empty where neither holds, and where there are no cycles.
std::optional<Finding> contrast_finding(std::span<const CycleView> views);

}  // namespace tracehold
