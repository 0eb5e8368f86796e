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
constexpr double kNoContrast = 1.1;  // our choice: what is found at less may be chance

struct Contrast {
    double work_uv = 0.0, rest_uv = 0.0;
    std::size_t windows = 0;
    double ratio() const { return work_uv / rest_uv; }
};

std::optional<Contrast> contrast_of(std::span<const CycleView> views) {
    std::vector<double> works, rests;
    for (const CycleView& view : views) {
        if (!view.cues_in_step || view.cycle.status == CycleStatus::unusable || view.cycle.status == CycleStatus::extra) continue;
        if (!view.hold_level || !view.rest_level || !(*view.rest_level.value > 0.0)) continue;
        works.push_back(*view.hold_level.value);
        rests.push_back(*view.rest_level.value);
    }
    if (works.empty()) return std::nullopt;
    return Contrast{median(works), median(rests), works.size()};
}

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
    const auto contrast = contrast_of(views);
    if (!contrast || contrast->ratio() >= kLowContrast) return std::nullopt;
    return Finding{
        "low_contrast",
        Severity::caution,
        fmt::format(
            "work reads only {} times the resting activity (hold {} µV, rest {} µV, medians over {} work windows), "
            "so contractions are hard to tell from rest; contact and position of the electrode are worth a look first",
            fixed_text(contrast->ratio(), 2), fixed_text(contrast->work_uv, 1), fixed_text(contrast->rest_uv, 1), contrast->windows),
        {}};
}

std::optional<Finding> unseen_finding(std::span<const CycleView> views) {
    const auto seen = [](const CycleView& view) {
        return view.cycle.status == CycleStatus::done || view.cycle.status == CycleStatus::extra;
    };
    const auto contrast = contrast_of(views);
    const bool any_seen = std::any_of(views.begin(), views.end(), seen);
    if (any_seen && !(contrast && contrast->ratio() < kNoContrast)) return std::nullopt;
    return Finding{"muscle_not_seen",
                   Severity::caution,
                   fmt::format("{}, so nothing shows that the electrode saw the muscle: whether a contraction was missed "
                               "cannot be told; contact and position of the electrode are worth a look first",
                               views.empty() ? "no contraction stands out from the trace"
                               : any_seen    ? "work reads as rest does, and what was found may be chance"
                                             : "none of the contractions asked for shows in the trace"),
                   {}};
}

}  // namespace tracehold
