#include "measures/cue_fit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "tracehold/core/number_text.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

// Our choices. People react 0.2 to 0.5 s after a cue and may expect it; a third of them so far off is another clock.
constexpr double kEarliest_s = -0.3, kLatest_s = 1.5;
// A contraction lasts as long as its cues ask for, less the reaction and with the time to let go: 0.2 to 0.5 s and 0.1 to 0.9 s,
// each with a scatter of 0.1 to 0.25 s from one to the next, and 1.5 s in people who are slow to let go. So half of the holds a
// second short or 1.5 s long is beyond reaction and scatter; in long ones a tenth of the length is beyond notice. Our choices.
constexpr double kShort_s = 1.0, kLong_s = 1.5, kShareOff = 0.1;
constexpr std::size_t kFewestCycles = 3;
constexpr std::size_t kFewestEarly = 6;  // of fewer, most may have been expected; our choice

bool is_done(const CycleView& view) { return view.cycle.status == CycleStatus::done; }

std::size_t count_of(std::span<const CycleView> views, CycleStatus status) {
    return static_cast<std::size_t>(std::count_if(views.begin(), views.end(), [&](const CycleView& v) { return v.cycle.status == status; }));
}

// Our choice: as much scatter as reactions have, and a muscle that is slow to rise.
constexpr double kAlike_s = 0.5;

// The time that nearly all of them are apart from their cues to one side, if they agree on it.
std::optional<double> apart_s(std::span<const double> reactions_s) {
    const double middle_s = median(reactions_s);
    if (std::abs(middle_s) <= kLatest_s) return std::nullopt;
    const auto alike = std::count_if(reactions_s.begin(), reactions_s.end(), [&](double r) { return std::abs(r - middle_s) <= kAlike_s; });
    if (3 * static_cast<std::size_t>(alike) < 2 * reactions_s.size()) return std::nullopt;
    return middle_s;
}

std::optional<Finding> late_or_early(std::span<const CycleView> views) {
    std::size_t early = 0, late = 0;
    std::vector<double> reactions_s;
    for (const CycleView& view : views) {
        if (!is_done(view) || !view.cycle.onset) continue;
        const double reaction_s = view.cycle.onset->time_s - view.cycle.work.begin_s;
        early += reaction_s < kEarliest_s;
        late += reaction_s > kLatest_s;
        reactions_s.push_back(reaction_s);
    }
    const std::size_t count = reactions_s.size();
    if (early + late < kFewestCycles || 3 * (early + late) < count) return std::nullopt;
    if (const auto apart = apart_s(reactions_s)) {
        return Finding{"cues_out_of_step",
                       Severity::caution,
                       fmt::format("the cues and the muscle are apart by about {} s: most of {} contractions begin that long {} their cue, within "
                                   "{} s of each other; check the clock of the {}{}: what is counted from a cue, and what is work and what rest, "
                                   "may be wrong",
                                   fixed_text(std::abs(*apart), 1), count, *apart < 0.0 ? "before" : "after", fixed_text(2.0 * kAlike_s, 1),
                                   views.front().cues == CueSource::marks ? "marks" : "start",
                                   *apart < 0.0 ? "" : ", though who starts that late looks alike"),
                       {}};
    }
    return Finding{"cues_out_of_step",
                   Severity::caution,
                   fmt::format("of {} contractions {} begin more than {} s before their cue and {} more than {} s after it, so the cues may be "
                               "out of step with the trace: what is counted from a cue, and what is work and what rest, may be wrong",
                               count, early, fixed_text(-kEarliest_s, 1), late, fixed_text(kLatest_s, 1)),
                   {}};
}

std::optional<Finding> beside_the_cues(std::span<const CycleView> views) {
    const std::size_t missed = count_of(views, CycleStatus::missed), extra = count_of(views, CycleStatus::extra);
    if (std::min(missed, extra) < kFewestCycles || 5 * std::min(missed, extra) < views.size() - extra) return std::nullopt;
    return Finding{"cues_out_of_step",
                   Severity::caution,
                   fmt::format("{} contractions are missing at their cues while {} come between cues, so the cues may be out of step with the "
                               "trace: what is done and what missed may be wrong",
                               missed, extra),
                   {}};
}

// Contractions that begin at a relax cue and last until the next contract cue.
std::optional<Finding> exchanged(std::span<const CycleView> views) {
    std::size_t filling = 0, count = 0;
    std::optional<double> relax_s;  // of the cue before
    for (const CycleView& view : views) {
        const Cycle& cycle = view.cycle;
        const bool extra = cycle.status == CycleStatus::extra;
        if (extra || (is_done(view) && cycle.onset && cycle.offset)) {
            const TimeSpan seen = extra ? cycle.work : TimeSpan{cycle.onset->time_s, cycle.offset->time_s};
            const double contract_s = extra ? cycle.rest.end_s : cycle.work.begin_s;
            const double after_s = seen.begin_s - relax_s.value_or(seen.begin_s + 1.0);
            const bool before_contract = seen.begin_s < contract_s + kEarliest_s && std::abs(seen.end_s - contract_s) <= kLatest_s;
            filling += after_s >= kEarliest_s && after_s <= kLatest_s && before_contract;
            ++count;
        }
        if (!extra) relax_s = cycle.work.end_s;
    }
    if (filling < kFewestCycles || 2 * filling <= count) return std::nullopt;
    return Finding{"marks_exchanged",
                   Severity::caution,
                   fmt::format("of {} contractions {} begin at a mark to relax and last until the next mark to contract, so the two kinds of "
                               "marks may be exchanged: what is work and what rest may be wrong; the plan's \"cues\" say which text asks for "
                               "what",
                               count, filling),
                   {}};
}

// Rapid contractions are over before anyone lets go on time. One without an end before the next goes on into its rest.
std::optional<Finding> lengths_off_plan(std::span<const CycleView> views) {
    std::size_t longer = 0, shorter = 0, count = 0;
    for (const CycleView& view : views) {
        const Cycle& cycle = view.cycle;
        if (!is_done(view) || cycle.kind == StepKind::rapid || !cycle.onset) continue;
        const double planned_s = cycle.work.length_s(), off_s = kShareOff * planned_s;
        ++count;
        if (!cycle.offset || cycle.offset->time_s - cycle.onset->time_s > planned_s + std::max(kLong_s, off_s)) {
            ++longer;
        } else if (cycle.offset->time_s - cycle.onset->time_s < planned_s - std::max(kShort_s, off_s)) {
            ++shorter;
        }
    }
    const std::size_t far = std::max(longer, shorter);
    if (far < kFewestCycles || 2 * far < count) return std::nullopt;
    return Finding{"lengths_off_plan",
                   Severity::caution,
                   fmt::format("of {} holds {} last {} than the plan says, and no mark tells the cues: whether it was another plan or the muscle "
                               "let go {} cannot be told, and work and rest may be mixed",
                               count, far, longer > shorter ? "longer" : "shorter", longer > shorter ? "late" : "early"),
                   {}};
}

}  // namespace

std::optional<Finding> cue_fit_finding(std::span<const CycleView> views) {
    if (views.empty() || views.front().cues == CueSource::trace) return std::nullopt;
    if (views.front().cues == CueSource::aligned) return lengths_off_plan(views);
    if (auto finding = exchanged(views); finding && views.front().cues == CueSource::marks) return finding;
    if (auto finding = late_or_early(views)) return finding;
    return beside_the_cues(views);
}

std::optional<Finding> early_starts_finding(std::span<const CycleView> views) {
    if (views.empty() || views.front().cues == CueSource::trace || views.front().cues == CueSource::aligned) return std::nullopt;
    std::vector<double> early_s;
    std::size_t count = 0;
    for (const CycleView& view : views) {
        if (!is_done(view) || !view.cycle.onset) continue;
        ++count;
        const EventTime& onset = *view.cycle.onset;
        const double cue_s = view.cycle.work.begin_s;
        if (std::max(onset.time_s, onset.high_s) < cue_s) early_s.push_back(cue_s - onset.time_s);
    }
    if (count < kFewestEarly || 2 * early_s.size() <= count) return std::nullopt;
    return Finding{"starts_before_cues",
                   Severity::caution,
                   fmt::format("of {} contractions {} begin before their cue, {} s in the median: either the cues are expected or the marks are "
                               "late, and then all times from a cue are shifted by that and the reaction besides",
                               count, early_s.size(), fixed_text(median(early_s), 2)),
                   {}};
}

}  // namespace tracehold
