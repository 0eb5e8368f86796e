#include "measures/contrast.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/muscle_seen.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

// Our choice: 3.5 dB. Detection of a contraction and all times rest on the difference; below, published onset errors
// pass 0.1 s.
constexpr double kLowContrast = 1.5;
constexpr double kFaint = 2.0;  // our choice: at 2.2 of those performed 97 % and more are found (tests/app), at 1.6 one in 15 was not
constexpr double kNothingButHum = 0.9;  // of the power: three times as high as all else together; our choice
constexpr double kSeveral = 3.0;  // our choice: a quiet trace without muscle does not range so far
constexpr double kShortest_s = 5.0;  // our choice: a quick contraction and the rest that it is told from
constexpr double kNoContrast = 1.1;  // our choice: what is found at less may be chance

// seen: windows with a contraction that stands out from its own rest: then the electrode saw the muscle at least there.
struct Contrast {
    double work_uv = 0.0, rest_uv = 0.0;
    std::size_t windows = 0, seen = 0;
    double ratio() const { return work_uv / rest_uv; }
};

bool asked_for(CycleStatus status) { return status == CycleStatus::done || status == CycleStatus::missed; }

template <class Counts>
std::optional<Contrast> contrast_of(std::span<const CycleView> views, Counts counts) {
    std::vector<double> works, rests;
    std::size_t seen = 0;
    for (const CycleView& view : views) {
        if (!view.cues_in_step || !counts(view.cycle.status)) continue;
        if (!view.hold_level || !view.rest_level || !(*view.rest_level.value > 0.0)) continue;
        works.push_back(*view.hold_level.value);
        rests.push_back(*view.rest_level.value);
        seen += view.cycle.status == CycleStatus::done && works.back() >= kLowContrast * rests.back();
    }
    if (works.empty()) return std::nullopt;
    return Contrast{median(works), median(rests), works.size(), seen};
}

// One that is called missed may be as faint as those that were just found.
std::optional<Finding> faint_finding(std::span<const CycleView> views) {
    const auto missed = std::count_if(views.begin(), views.end(), [](const CycleView& v) { return v.cycle.status == CycleStatus::missed; });
    const auto found = contrast_of(views, [](CycleStatus status) { return status == CycleStatus::done; });
    if (missed == 0 || !found || found->ratio() >= kFaint) return std::nullopt;
    return Finding{"low_contrast",
                   Severity::caution,
                   fmt::format("the contractions found read only {} times the resting activity (hold {} µV, rest {} µV, medians over {}), so the "
                               "{} called missed may be too faint to be told from rest",
                               fixed_text(found->ratio(), 2), fixed_text(found->work_uv, 1), fixed_text(found->rest_uv, 1), found->windows, missed),
                   {}};
}

// How many stand out decides what is said of the others.
std::string seen_text(const Contrast& contrast) {
    if (contrast.seen == 0) return "contractions are hard to tell from rest";
    return fmt::format("{}, though {} of them {} a contraction that stands out clearly",
                       2 * contrast.seen <= contrast.windows ? "most of the windows hold no more than rest"
                                                             : "work is low against a high resting activity",
                       contrast.seen, contrast.seen == 1 ? "holds" : "hold");
}

}  // namespace

std::optional<Finding> contrast_finding(std::span<const CycleView> views, bool let_go_late) {
    const auto unusable = [](const CycleView& view) { return view.cycle.status == CycleStatus::unusable; };
    if (views.empty()) return std::nullopt;
    if (std::all_of(views.begin(), views.end(), unusable)) {
        return Finding{"no_usable_cycle",
                       Severity::reject,
                       fmt::format("none of the {} work windows has enough valid signal to be measured", views.size()),
                       {}};
    }
    const auto contrast = contrast_of(views, asked_for);
    if (!contrast || contrast->ratio() >= kLowContrast) return faint_finding(views);
    return Finding{
        "low_contrast",
        Severity::caution,
        fmt::format(
            "work reads only {} times the resting activity (hold {} µV, rest {} µV, medians over {} work windows), "
            "so {}{}",
            fixed_text(contrast->ratio(), 2), fixed_text(contrast->work_uv, 1), fixed_text(contrast->rest_uv, 1), contrast->windows,
            seen_text(*contrast), let_go_late ? "" : "; contact and position of the electrode are worth a look first"),
        {}};
}

std::optional<Finding> unseen_finding(std::span<const CycleView> views, const WhatElse& what) {
    const auto seen = [](const CycleView& view) {
        return view.cycle.status == CycleStatus::done || view.cycle.status == CycleStatus::extra;
    };
    const auto contrast = contrast_of(views, asked_for);
    const bool any_seen = std::any_of(views.begin(), views.end(), seen);
    if (any_seen && !(contrast && contrast->ratio() < kNoContrast)) return std::nullopt;
    if (contrast && contrast->seen > 0) {
        return Finding{"muscle_seen_in_part", Severity::caution,
                       fmt::format("{} of {} work windows {} a contraction that stands out clearly, and the others read as rest does: "
                                   "whether in those the electrode saw the muscle, and a contraction was missed, cannot be told",
                                   contrast->seen, contrast->windows, contrast->seen == 1 ? "holds" : "hold"),
                       {}};
    }
    if (views.empty() && what.recorded_s < kShortest_s) {
        return Finding{"too_short",
                       Severity::reject,
                       fmt::format("no contraction was found in {} s: too short to tell work from rest", fixed_text(what.recorded_s, 1)),
                       {}};
    }
    if (what.hum_share >= kNothingButHum) {
        return Finding{"reference_off",
                       Severity::reject,
                       fmt::format("mains hum makes up {} % of the signal and no contraction shows beneath it, as with an electrode or the reference "
                                   "off: whether any was done cannot be told",
                                   fixed_text(100.0 * what.hum_share, 0)),
                       {}};
    }
    if (what.let_go_late && contrast && contrast->work_uv >= kSeveral * what.quietest_uv) return std::nullopt;
    return Finding{std::string(kMuscleNotSeen),
                   Severity::caution,
                   fmt::format("{}, so nothing shows that the electrode saw the muscle: whether a contraction was missed "
                               "cannot be told; contact and position of the electrode are worth a look first",
                               views.empty() ? "no contraction stands out from the trace"
                               : any_seen    ? "work reads as rest does, and what was found may be chance"
                                             : "none of the contractions asked for shows in the trace"),
                   {}};
}

}  // namespace tracehold
