#include "tracehold/measures/cued_windows.hpp"

#include "tracehold/plan/follows_plan.hpp"

namespace tracehold {

std::vector<TimeSpan> cued_windows(const SessionScore& score) {
    std::vector<TimeSpan> work;
    if (score.cues != CueSource::marks) return work;
    for (const ScoredCycle& scored : score.cycles) {
        if (scored.cycle.status != CycleStatus::extra) work.push_back(scored.cycle.work);
    }
    return work;
}

bool follows_its_plan(const SessionScore& score) {
    return !score.plan || (!has_finding(score.quality, kCuesOffPlan) && follows_plan(cued_windows(score), *score.plan));
}

}  // namespace tracehold
