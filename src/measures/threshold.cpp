// Against the training threshold that the plan sets.
#include <algorithm>

#include "measures/families.hpp"
#include "measures/window.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {
namespace {

Estimate share_above(const CycleView& view) {
    if (!view.threshold_uv) return Estimate::none(view.threshold_reason);
    const Window window = window_of(view.envelope, view.work);
    if (!window.reason.empty()) return Estimate::none(window.reason);
    const auto values = valid_samples(view.envelope, window);
    const auto above = std::count_if(values.begin(), values.end(), [&](double e) { return e >= *view.threshold_uv; });
    return Estimate::of(100.0 * static_cast<double>(above) / static_cast<double>(values.size()));
}

Estimate reached(const CycleView& view) {
    const Estimate share = share_above(view);
    return share ? Estimate::of(*share.value > 0.0 ? 1.0 : 0.0) : share;
}

}  // namespace

Measure above_threshold() {
    return {.key = "above_threshold_pct",
            .title = "Time above threshold",
            .unit = "%",
            .ucum = "%",
            .family = "threshold",
            .definition =
                "Share of the valid time from the contract cue up to the relax cue in which the envelope is at or "
                "above the plan's threshold: a number of microvolts, or a percent of a stated reference or of the "
                "session's own best second.",
            .edges =
                "Null where the plan sets no threshold, its reference is unknown, or less than 70 % of the window is "
                "valid signal. The reaction time counts as below. No standard error: it depends on how near the "
                "threshold the person holds; at the threshold itself the envelope is above it half of the time by "
                "chance.",
            .source = "common practice, no source",
            .compute = share_above};
}

Measure reached_threshold() {
    return {.key = "reached_threshold",
            .title = "Threshold reached",
            .unit = "",
            .ucum = "1",
            .family = "threshold",
            .definition =
                "Whether the envelope is at or above the plan's threshold at any moment from the contract cue up to "
                "the relax cue.",
            .edges =
                "Null as the time above threshold. A single swing of the envelope is enough, so it is said more "
                "easily of long holds.",
            .source = "common practice, no source",
            .form = MeasureForm::yes_no,
            .compute = reached};
}

}  // namespace tracehold
