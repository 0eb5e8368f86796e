#include "cycles/beginnings.hpp"

#include <algorithm>

#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

// Our choices: three SDs of steady reactions (0.08 s) and more. People react 0.2 to 0.5 s after a cue.
constexpr double kEarly_s = 0.25, kLate_s = 0.3;
constexpr double kSoonestHabit_s = 0.0, kEarlyFromAtMost_s = 0.5, kLateFromAtLeast_s = 0.2, kLatestHabit_s = 1.0;
constexpr std::size_t kFewestDelays = 4;

bool has_beginning(const Cycle& cycle) { return cycle.status == CycleStatus::done && cycle.onset; }

// Where cues were estimated, the whole plan may lie beside its true place: only what differs from the others is told then.
Begins beginning_of(const Cycle& cycle, double usual_s, bool estimated) {
    const double cue_s = cycle.work.begin_s, after_s = cycle.onset->time_s - cue_s;
    const double early_from_s = estimated ? usual_s : std::clamp(usual_s, kSoonestHabit_s, kEarlyFromAtMost_s);
    const double late_from_s = estimated ? usual_s : std::clamp(usual_s, kLateFromAtLeast_s, kLatestHabit_s);
    if (after_s < early_from_s - kEarly_s && cycle.onset->high_s < cue_s + early_from_s) return Begins::early;
    if (after_s > late_from_s + kLate_s && cycle.onset->low_s > cue_s + late_from_s) return Begins::late;
    return Begins::as_usual;
}

}  // namespace

void tell_beginnings(std::vector<Cycle>& cycles, CueSource cues) {
    std::vector<double> delays_s;
    for (Cycle& cycle : cycles) {
        cycle.begins.reset();
        if (has_beginning(cycle)) delays_s.push_back(cycle.onset->time_s - cycle.work.begin_s);
    }
    if (cues == CueSource::trace || delays_s.size() < kFewestDelays) return;
    const double usual_s = median(delays_s);
    for (Cycle& cycle : cycles) {
        if (has_beginning(cycle)) cycle.begins = beginning_of(cycle, usual_s, cues == CueSource::aligned);
    }
}

}  // namespace tracehold
