// The longest series of windows that fits contractions of the plan, both in order with any left out between: the
// longest common subsequence, longest[i][j] = max(longest[i-1][j], longest[i][j-1], longest[i-1][j-1] + 1 where i fits
// j).
#include "tracehold/plan/follows_plan.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace tracehold {
namespace {

// Marks set by hand lag and lead by a quarter second at either end; recorders' clocks keep to far less. Our choice.
constexpr double kSlack_s = 0.5;
constexpr double kSlackShare = 0.1;

// The last of either has no next cue to compare.
bool fits(std::span<const TimeSpan> work, std::size_t i, const std::vector<PlannedCycle>& planned, std::size_t j) {
    if (!alike_in_length(work[i].length_s(), planned[j].relax_s - planned[j].contract_s)) return false;
    if (i + 1 == work.size() || j + 1 == planned.size()) return true;
    return alike_in_length(work[i + 1].begin_s - work[i].begin_s, planned[j + 1].contract_s - planned[j].contract_s);
}

}  // namespace

bool alike_in_length(double seen_s, double planned_s) {
    return std::abs(seen_s - planned_s) <= std::max(kSlack_s, kSlackShare * planned_s);
}

bool follows_plan(std::span<const TimeSpan> work, const Plan& plan) {
    const std::vector<PlannedCycle> planned = timeline(plan);
    std::vector<std::size_t> longest(planned.size() + 1, 0);
    for (std::size_t i = 0; i < work.size(); ++i) {
        std::size_t before = 0;  // of the row before, one column back
        for (std::size_t j = 0; j < planned.size(); ++j) {
            const std::size_t above = longest[j + 1];
            longest[j + 1] = std::max(above, longest[j]);
            if (fits(work, i, planned, j)) longest[j + 1] = std::max(longest[j + 1], before + 1);
            before = above;
        }
    }
    return 2 * longest.back() >= work.size();
}

}  // namespace tracehold
