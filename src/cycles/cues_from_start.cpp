#include <fmt/format.h>

#include <algorithm>

#include "cycles/cues.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {

void check_length(const Plan& plan, double start_s, double duration_s) {
    const std::vector<PlannedCycle> planned = timeline(plan);
    const double needed = start_s + planned.back().relax_s;
    if (needed <= duration_s + 1e-9) return;
    throw Error(
        ErrorKind::too_short, "", "",
        fmt::format("the recording ends before the plan: saw {} s, expected at least {} s up to the last relax cue",
                    fixed_text(duration_s, 1), fixed_text(needed, 1)),
        "give the plan that was trained, or an earlier --start; without either, score without a plan");
}

Cues cues_from_start(const Plan& plan, double start_s, double duration_s) {
    if (!(start_s >= 0.0 && start_s < duration_s)) {
        throw Error(ErrorKind::bad_setting, "", "start",
                    fmt::format("the plan cannot start there: saw {} s, expected from 0 to {} s", number_text(start_s),
                                fixed_text(duration_s, 1)));
    }
    check_length(plan, start_s, duration_s);
    Cues cues;
    cues.from = CueSource::start;
    cues.offset_s = start_s;
    for (const PlannedCycle& cycle : timeline(plan)) {
        const TimeSpan work{start_s + cycle.contract_s, std::min(start_s + cycle.relax_s, duration_s)};
        cues.windows.push_back({cycle.step, cycle.kind, work, std::min(start_s + cycle.end_s, duration_s)});
    }
    return cues;
}

}  // namespace tracehold
