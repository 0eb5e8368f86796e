#include "measures/late_release.hpp"

#include <fmt/format.h>

#include <vector>

#include "tracehold/core/number_text.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

constexpr double kAtContraction = 0.5;  // of the way up; our choice
constexpr double kLeastContrast = 1.5;  // our choice, as for the contrast of the session

std::vector<double> levels_of_found(std::span<const CycleView> views) {
    std::vector<double> levels;
    for (const CycleView& view : views) {
        if (view.cycle.status == CycleStatus::done && view.hold_level) levels.push_back(*view.hold_level.value);
    }
    return levels;
}

}  // namespace

std::optional<Finding> late_release_finding(std::span<const CycleView> views, double quietest_uv) {
    const std::vector<double> found = levels_of_found(views);
    if (found.empty() || !(median(found) >= kLeastContrast * quietest_uv)) return std::nullopt;
    const double level = quietest_uv + kAtContraction * (median(found) - quietest_uv);
    std::vector<TimeSpan> spans;
    std::vector<double> before;
    std::size_t missed = 0;
    for (const CycleView& view : views) {
        if (view.cycle.status != CycleStatus::missed) continue;
        ++missed;
        if (!view.rest_level || *view.rest_level.value < level) continue;
        spans.push_back(view.work);
        before.push_back(*view.rest_level.value);
    }
    if (spans.empty()) return std::nullopt;
    return Finding{"late_release", Severity::caution,
                   fmt::format("{} of {} missed contractions had activity at the level of a contraction before their cue "
                               "({} µV; contractions found {} µV, quietest level {} µV, medians): late or incomplete release "
                               "of the one before is as possible as a missed contraction",
                               spans.size(), missed, fixed_text(median(before), 1), fixed_text(median(found), 1),
                               fixed_text(quietest_uv, 1)),
                   std::move(spans)};
}

}  // namespace tracehold
