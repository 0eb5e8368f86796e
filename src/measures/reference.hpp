#pragma once
// The session's reference contraction and the training threshold that may hang on it.
#include <optional>
#include <span>

#include "tracehold/core/estimate.hpp"
#include "tracehold/measures/cycle_view.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold {

// best: highest best second of the done cycles. cycle: its number; set exactly if best has a value.
struct Reference {
    Estimate best_uv;
    std::optional<int> cycle;
};
Reference reference_of(std::span<const CycleView> views);

// The plan's threshold in µV: its microvolts; its percent of the reference it states; or of the session's own.
Estimate threshold_of(const Plan* plan, const Estimate& session_reference_uv);

}  // namespace tracehold
