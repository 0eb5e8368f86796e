#include "measures/level_doubts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tracehold/core/number_text.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

// Our choices. Pelvic-floor muscle at rest reads a few µV at a vaginal or anal probe (published resting levels, from memory).
constexpr double kHighRest_uv = 20.0;
constexpr double kFarFromReference = 4.0;  // a muscle gains or loses less from one visit to the next
constexpr double kJump = 3.0, kSameFactor = 1.5;
constexpr std::size_t kFewest = 3;  // on either side: one loud contraction is no other gain

struct SessionLevels {
    std::vector<double> rests, holds;
    std::vector<double> times_s;
};

SessionLevels levels_in(std::span<const CycleView> views) {
    SessionLevels levels;
    for (const CycleView& view : views) {
        if (!view.cues_in_step || view.cycle.status != CycleStatus::done || !view.rest_level || !view.hold_level) continue;
        if (!(*view.rest_level.value > 0.0) || !(*view.hold_level.value > 0.0)) continue;
        levels.rests.push_back(*view.rest_level.value);
        levels.holds.push_back(*view.hold_level.value);
        levels.times_s.push_back(view.work.begin_s);
    }
    return levels;
}

// How many times larger the values from `split` on are, medians.
double rise_at(std::span<const double> values, std::size_t split) {
    return median(std::vector<double>(values.begin() + static_cast<std::ptrdiff_t>(split), values.end())) /
           median(std::vector<double>(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(split)));
}

std::optional<Finding> high_rest(const SessionLevels& levels) {
    if (levels.rests.empty() || median(levels.rests) <= kHighRest_uv) return std::nullopt;
    return Finding{"rest_high", Severity::caution,
                   fmt::format("rest reads {} µV between the contractions, far more than a pelvic floor at rest gives: the unit or gain may be "
                               "another, contact may be poor, or the muscle does not let go",
                               fixed_text(median(levels.rests), 0)),
                   {}};
}

std::optional<Finding> changed_gain(const SessionLevels& levels) {
    std::size_t where = 0;
    double most = std::log(kJump);
    for (std::size_t split = kFewest; split + kFewest <= levels.rests.size(); ++split) {
        const double rest = std::log(rise_at(levels.rests, split)), hold = std::log(rise_at(levels.holds, split));
        const double least = std::min(std::abs(rest), std::abs(hold));
        if (std::abs(rest - hold) > std::log(kSameFactor) || least <= most) continue;
        most = least;
        where = split;
    }
    if (where == 0) return std::nullopt;
    const double hold = rise_at(levels.holds, where);
    return Finding{"gain_changed", Severity::caution,
                   fmt::format("from {} s on rest and contractions alike read {} times {} than before: gain, contact or electrode probably "
                               "changed, so amplitudes of the two parts do not compare",
                               fixed_text(levels.times_s[where], 0), fixed_text(std::max(hold, 1.0 / hold), 1), hold > 1.0 ? "more" : "less"),
                   {}};
}

}  // namespace

std::vector<Finding> level_findings(std::span<const CycleView> views) {
    const SessionLevels levels = levels_in(views);
    std::vector<Finding> findings;
    for (auto& finding : {high_rest(levels), changed_gain(levels)}) {
        if (finding) findings.push_back(*finding);
    }
    return findings;
}

std::optional<Finding> reference_finding(const Plan* plan, const Estimate& best_uv) {
    if (plan == nullptr || !plan->threshold || !plan->threshold->reference_uv || !best_uv) return std::nullopt;
    const double own_uv = *plan->threshold->reference_uv, ratio = *best_uv.value / own_uv;
    if (ratio <= kFarFromReference && ratio >= 1.0 / kFarFromReference) return std::nullopt;
    return Finding{"reference_differs", Severity::caution,
                   fmt::format("the best second reads {} µV, {} times the plan's own reference of {} µV: unit, gain, electrode or its place may be "
                               "others than those of the reference, and the threshold then means nothing",
                               fixed_text(*best_uv.value, 1), fixed_text(ratio, ratio < 1.0 ? 2 : 1), fixed_text(own_uv, 1)),
                   {}};
}

}  // namespace tracehold
