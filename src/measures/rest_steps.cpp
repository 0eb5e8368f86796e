#include "measures/rest_steps.hpp"

#include <algorithm>
#include <optional>

#include "measures/bandwidth.hpp"
#include "measures/levels.hpp"
#include "measures/window.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

// Cycles of the contractions of one step; none where some of them have no place in the recording, since a count of rests from there
// would then start at a wrong one.
std::vector<const Cycle*> whole_step(const ViewInput& input, std::size_t step) {
    std::vector<const Cycle*> cycles;
    for (const Cycle& cycle : input.cycles.cycles) {
        if (cycle.step == static_cast<int>(step) && cycle.status != CycleStatus::extra) cycles.push_back(&cycle);
    }
    if (cycles.size() != static_cast<std::size_t>(std::max(0, input.plan->steps[step].times))) cycles.clear();
    return cycles;
}

// Rest steps in a row, [first, end) of the plan.
struct Rests {
    std::size_t first = 0, end = 0;
};

std::optional<double> begin_of(const ViewInput& input, Rests rests) {
    const auto& steps = input.plan->steps;
    if (rests.first > 0) {
        const auto before = whole_step(input, rests.first - 1);
        if (!before.empty()) return before.back()->work.end_s + steps[rests.first - 1].rest_seconds;
    }
    if (rests.end == steps.size()) return std::nullopt;
    const auto after = whole_step(input, rests.end);
    if (after.empty()) return std::nullopt;
    double begin_s = after.front()->work.begin_s;
    for (std::size_t i = rests.first; i < rests.end; ++i) begin_s -= steps[i].seconds;
    return begin_s;
}

// Whoever was cued again sooner did not rest as long as the plan asks for.
TimeSpan up_to_next_cue(const ViewInput& input, TimeSpan rest) {
    for (const Cycle& cycle : input.cycles.cycles) {
        const bool in_it = cycle.step && cycle.work.begin_s >= rest.begin_s && cycle.work.begin_s < rest.end_s;
        if (in_it && cycle.status != CycleStatus::extra) return {rest.begin_s, cycle.work.begin_s};
    }
    return rest;
}

RestScore none(int step, const std::string& why) { return {step, std::nullopt, Estimate::none(why), Estimate::none(why)}; }

Estimate cv_of(const Envelope& envelope, TimeSpan span) {
    const Window window = window_of(envelope, span);
    if (!window.reason.empty()) return Estimate::none(window.reason);
    const auto cv_pct = summarise(valid_samples(envelope, window)).cv_pct;
    return cv_pct ? Estimate::of(*cv_pct) : Estimate::none("the rest has no activity to compare with");
}

RestScore score_rest(const ViewInput& input, std::size_t step, TimeSpan asked) {
    const int number = static_cast<int>(step);
    const TimeSpan rest = up_to_next_cue(input, asked);
    if (rest.length_s() < kLeastValidShare * asked.length_s()) return none(number, "the next contraction was cued before the rest was over");
    const TimeSpan window = settled(rest);
    return {number, window, mean_of(input.envelope, window_of(input.envelope, window), bandwidth_hz(input.clean, input.envelope, window)), cv_of(input.envelope, window)};
}

}  // namespace

std::vector<RestScore> rest_scores_of(const ViewInput& input, const std::string& why_none) {
    std::vector<RestScore> scores;
    if (input.plan == nullptr || input.cycles.from == CueSource::trace) return scores;
    const std::string unreadable = why_none.empty() ? why_no_rest(input.clean) : why_none;
    const auto& steps = input.plan->steps;
    for (Rests rests; rests.first < steps.size(); rests.first = rests.end + 1) {
        rests.end = rests.first;
        while (rests.end < steps.size() && steps[rests.end].kind == StepKind::rest) ++rests.end;
        if (rests.end == rests.first) continue;
        const auto begin = begin_of(input, rests);
        double at_s = begin.value_or(0.0);
        for (std::size_t i = rests.first; i < rests.end; ++i) {
            const TimeSpan asked{at_s, at_s + steps[i].seconds};
            at_s = asked.end_s;
            const std::string why = !unreadable.empty() ? unreadable : begin ? "" : "the contractions beside it have no place in the recording";
            scores.push_back(why.empty() ? score_rest(input, i, asked) : none(static_cast<int>(i), why));
        }
    }
    return scores;
}

}  // namespace tracehold
