#include "tracehold/measures/cued_windows.hpp"

namespace tracehold {

std::vector<TimeSpan> cued_windows(const SessionScore& score) {
    std::vector<TimeSpan> work;
    if (score.cues != CueSource::marks) return work;
    for (const ScoredCycle& scored : score.cycles) {
        if (scored.cycle.status != CycleStatus::extra) work.push_back(scored.cycle.work);
    }
    return work;
}

}  // namespace tracehold
