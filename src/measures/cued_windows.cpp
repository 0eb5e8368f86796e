#include "tracehold/measures/cued_windows.hpp"

#include <algorithm>

#include "tracehold/plan/follows_plan.hpp"

namespace tracehold {
namespace {

bool was_off_plan(const SessionScore& score) {
    return std::any_of(score.quality.findings.begin(), score.quality.findings.end(),
                       [](const Finding& finding) { return finding.code == kCuesOffPlan; });
}

}  // namespace

std::vector<TimeSpan> cued_windows(const SessionScore& score) {
    std::vector<TimeSpan> work;
    if (score.cues != CueSource::marks) return work;
    for (const ScoredCycle& scored : score.cycles) {
        if (scored.cycle.status != CycleStatus::extra) work.push_back(scored.cycle.work);
    }
    return work;
}

bool follows_its_plan(const SessionScore& score) {
    return !score.plan || (!was_off_plan(score) && follows_plan(cued_windows(score), *score.plan));
}

}  // namespace tracehold
