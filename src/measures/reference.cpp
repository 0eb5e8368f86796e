#include "measures/reference.hpp"

#include "measures/levels.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold {

Reference reference_of(std::span<const CycleView> views) {
    const Measure& best_second = measure_list()[*measure_index("best_second_uv")];
    Reference reference{Estimate::none(views.empty() ? "there is no contraction to measure" : "no contraction was done"), std::nullopt};
    std::string cut_off;  // of the largest so far
    for (const CycleView& view : views) {
        if (view.cycle.status != CycleStatus::done) continue;
        const Estimate best = view.cues_in_step ? best_second.compute(view) : Estimate::none(kOutOfStep);
        if (!best) {
            if (!reference.best_uv) reference.best_uv = best;
            continue;
        }
        if (reference.best_uv && *best.value <= *reference.best_uv.value) continue;
        reference = {best, view.cycle.index};
        cut_off = why_cut_off(view.clean, view.work);
    }
    if (!cut_off.empty()) return {Estimate::none(cut_off), std::nullopt};
    return reference;
}

Estimate threshold_of(const Plan* plan, const Estimate& session_reference_uv) {
    if (plan == nullptr) return Estimate::none("there is no plan");
    if (!plan->threshold) return Estimate::none("the plan sets no threshold");
    const Threshold& threshold = *plan->threshold;
    if (threshold.microvolts) return Estimate::of(*threshold.microvolts);
    if (!threshold.percent_of_reference) return Estimate::none("the plan's threshold has no number");
    const double percent = *threshold.percent_of_reference;
    if (threshold.reference_uv) return Estimate::of(*threshold.reference_uv * percent / 100.0);
    if (!session_reference_uv) {
        return Estimate::none("the session has no reference contraction: " + session_reference_uv.reason);
    }
    Estimate own = Estimate::of(*session_reference_uv.value * percent / 100.0);
    if (session_reference_uv.error) own.error = *session_reference_uv.error * percent / 100.0;
    return own;
}

}  // namespace tracehold
