#pragma once
#include "support/made_up_session.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold::test {

// A made-up session of so many holds, the first of the made-up ones over and over.
inline SessionScore long_session(std::size_t count) {
    SessionScore score = made_up_session();
    const std::vector<ScoredCycle> models(score.cycles.begin(), score.cycles.begin() + 5);
    score.cycles.clear();
    for (std::size_t i = 0; i < count; ++i) {
        ScoredCycle scored = models[i % models.size()];
        const double shift = 18.0 * static_cast<double>(i) - 18.0 * static_cast<double>(i % models.size());
        Cycle& cycle = scored.cycle;
        cycle.index = static_cast<int>(i) + 1;
        for (TimeSpan* span : {&cycle.work, &cycle.rest}) span->begin_s += shift, span->end_s += shift;
        for (auto* event : {&cycle.onset, &cycle.offset}) {
            (*event)->time_s += shift, (*event)->low_s += shift, (*event)->high_s += shift;
        }
        score.cycles.push_back(scored);
    }
    score.planned = score.done = count;
    score.missed = score.extra = 0;
    score.plan->steps = {{StepKind::rest, 20.0, 0.0, 1}, {StepKind::hold, 8.0, 10.0, static_cast<int>(count)}};
    score.steps.resize(1);
    score.steps[0].planned = score.steps[0].done = count;
    score.recording.duration_s = 20.0 + 18.0 * static_cast<double>(count);
    return score;
}

}  // namespace tracehold::test
