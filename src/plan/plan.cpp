#include "tracehold/plan/plan.hpp"

#include <algorithm>

namespace tracehold {

std::string_view to_string(StepKind kind) {
    switch (kind) {
        case StepKind::rest: return "rest";
        case StepKind::hold: return "hold";
        case StepKind::rapid: return "rapid";
        case StepKind::endurance: return "endurance";
    }
    return "unknown";
}

std::string_view to_string(PlanPurpose purpose) {
    switch (purpose) {
        case PlanPurpose::training: return "training";
        case PlanPurpose::assessment: return "assessment";
    }
    return "unknown";
}

PlanPurpose purpose_of(const Plan& plan) {
    if (plan.purpose) return *plan.purpose;
    const auto asks_for = [&](StepKind kind) {
        return std::any_of(plan.steps.begin(), plan.steps.end(), [&](const Step& step) { return step.kind == kind; });
    };
    const bool all_kinds = asks_for(StepKind::hold) && asks_for(StepKind::rapid) && asks_for(StepKind::endurance);
    return plan.dose == Dose{} && all_kinds ? PlanPurpose::assessment : PlanPurpose::training;
}

// What recorders and people write for 'now contract' and 'now let go'. Common practice, no source. 'start', 'stop' and
// 'pause' stay out: they name the recording as often as the muscle.
std::vector<std::string> default_contract_cues() {
    return {"contract", "contraction", "work", "squeeze", "lift", "hold", "on", "active", "1"};
}

std::vector<std::string> default_relax_cues() {
    return {"relax", "relaxation", "rest", "release", "let go", "off", "inactive", "0"};
}

std::vector<PlannedCycle> timeline(const Plan& plan) {
    std::vector<PlannedCycle> cycles;
    double now = 0.0;
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
        const Step& step = plan.steps[i];
        if (step.kind == StepKind::rest) {
            now += step.seconds;
            if (!cycles.empty()) cycles.back().end_s = now;
            continue;
        }
        for (int k = 0; k < step.times; ++k) {
            const double relax = now + step.seconds;
            cycles.push_back({static_cast<int>(i), step.kind, now, relax, relax + step.rest_seconds});
            now = cycles.back().end_s;
        }
    }
    return cycles;
}

Seconds plan_length(const Plan& plan) {
    double length = 0.0;
    for (const Step& step : plan.steps) {
        const bool rest = step.kind == StepKind::rest;
        length += rest ? step.seconds : step.times * (step.seconds + step.rest_seconds);
    }
    return Seconds{length};
}

}  // namespace tracehold
