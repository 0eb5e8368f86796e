#pragma once
// Which marked contraction is which cycle of the plan.
#include <span>
#include <vector>

#include "tracehold/core/note.hpp"
#include "tracehold/core/units.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold {

// In: marked windows in order (of length 0 where the relax mark is missing); planned: the plan's timeline, must outlive
// the result. Out: for each window its cycle of the plan, in the same order, null where none fits. What does not fit
// becomes a note.
std::vector<const PlannedCycle*> match_plan(std::span<const TimeSpan> windows, const std::vector<PlannedCycle>& planned,
                                            const Plan* plan, std::vector<Note>& notes);

}  // namespace tracehold
