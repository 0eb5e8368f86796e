#include "report/verdict.hpp"

#include <vector>

#include "report/doubts.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold {
namespace {

// What the value of a target is the mean of: the session's summary, or all done contractions where that has none.
Summary summary_behind(const SessionScore& score, std::size_t measure) {
    if (score.measures[measure].mean) return score.measures[measure];
    std::vector<double> values;
    for (const ScoredCycle& scored : score.cycles) {
        if (scored.cycle.status == CycleStatus::done && scored.values[measure])
            values.push_back(*scored.values[measure].value);
    }
    return summarise(values);
}

}  // namespace

Verdict verdict_on(const SessionScore& score, const TargetOutcome& outcome) {
    const auto place = measure_index(outcome.target.measure);
    if (!outcome.value || !place || *place >= score.measures.size()) return Verdict::no_value;
    if (!is_held_against_target(score, outcome.target.measure)) return Verdict::subtracted;
    const Summary summary = summary_behind(score, *place);
    if (!summary.ci95_low || !summary.ci95_high) return Verdict::too_few;
    if (outcome.target.measure == "rest_mean_uv" && amplitudes_in_doubt(score)) return Verdict::doubtful;
    const bool wants_less = outcome.target.below.has_value();
    const double limit = wants_less ? *outcome.target.below : outcome.target.above.value_or(0.0);
    if (*summary.ci95_low > limit) return wants_less ? Verdict::missed : Verdict::met;
    if (*summary.ci95_high < limit) return wants_less ? Verdict::met : Verdict::missed;
    return Verdict::unclear;
}

}  // namespace tracehold
