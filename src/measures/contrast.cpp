#include "measures/contrast.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "tracehold/core/number_text.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

// Our choice: 3.5 dB. Detection of a contraction and all times rest on the difference; below, published onset errors
// pass 0.1 s.
constexpr double kLowContrast = 1.5;

}  // namespace

std::optional<Finding> contrast_finding(std::span<const CycleView> views) {
    const auto unusable = [](const CycleView& view) { return view.cycle.status == CycleStatus::unusable; };
    if (views.empty()) return std::nullopt;
    if (std::all_of(views.begin(), views.end(), unusable)) {
        return Finding{"no_usable_cycle",
                       Severity::reject,
                       fmt::format("none of the {} work windows has enough valid signal to be measured", views.size()),
                       {}};
    }
    std::vector<double> works, rests;
    for (const CycleView& view : views) {
        if (unusable(view) || view.cycle.status == CycleStatus::extra) continue;
        if (!view.hold_level || !view.rest_level || !(*view.rest_level.value > 0.0)) continue;
        works.push_back(*view.hold_level.value);
        rests.push_back(*view.rest_level.value);
    }
    if (works.empty()) return std::nullopt;
    const double work = median(works), rest = median(rests);
    if (work >= kLowContrast * rest) return std::nullopt;
    return Finding{
        "low_contrast",
        Severity::caution,
        fmt::format(
            "work reads only {} times the resting activity (hold {} µV, rest {} µV, medians over {} work windows), "
            "so contractions are hard to tell from rest; contact and position of the electrode are worth a look first",
            fixed_text(work / rest, 2), fixed_text(work, 1), fixed_text(rest, 1), works.size()),
        {}};
}

std::optional<Finding> unseen_finding(std::span<const CycleView> views) {
    const auto seen = [](const CycleView& view) {
        return view.cycle.status == CycleStatus::done || view.cycle.status == CycleStatus::extra;
    };
    if (std::any_of(views.begin(), views.end(), seen)) return std::nullopt;
    return Finding{"muscle_not_seen",
                   Severity::caution,
                   fmt::format("{}, so nothing shows that the electrode saw the muscle: whether a contraction was missed "
                               "cannot be told; contact and position of the electrode are worth a look first",
                               views.empty() ? "no contraction stands out from the trace"
                                             : "none of the contractions asked for shows in the trace"),
                   {}};
}

}  // namespace tracehold
