// Against the training threshold that the plan sets.
#include <algorithm>
#include <cmath>

#include "measures/families.hpp"
#include "measures/lasting.hpp"
#include "measures/window.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {
namespace {

// Our choices: half a second of a hold; a rapid contraction of 1 s is at its height for little more than a quarter of it.
constexpr double kReachedFor_s = 0.5, kReachedShare = 0.25;

Estimate share_above(const CycleView& view) {
    if (!view.threshold_uv) return Estimate::none(view.threshold_reason);
    const Window window = window_of(view.envelope, view.work);
    if (!window.reason.empty()) return Estimate::none(window.reason);
    const auto values = valid_samples(view.envelope, window);
    const auto above = std::count_if(values.begin(), values.end(), [&](double e) { return e >= *view.threshold_uv; });
    return Estimate::of(100.0 * static_cast<double>(above) / static_cast<double>(values.size()));
}

// A single swing of the envelope about its level lasts some 0.1 s.
Estimate reached(const CycleView& view) {
    if (!view.threshold_uv) return Estimate::none(view.threshold_reason);
    const Window window = window_of(view.envelope, view.work);
    if (!window.reason.empty()) return Estimate::none(window.reason);
    const double kept_s = std::min(kReachedFor_s, kReachedShare * view.work.length_s());
    const auto samples = std::max<std::size_t>(1, static_cast<std::size_t>(std::ceil(kept_s * view.envelope.rate.value - 1e-6)));
    const Lasting kept = first_lasting(view.envelope.uv, window.samples.begin, window.samples.end, samples,
                                       [&](float e) { return e >= *view.threshold_uv; });
    if (!kept.at && kept.hidden) return Estimate::none("masked samples hide the moment");
    return Estimate::of(kept.at ? 1.0 : 0.0);
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
                "Whether the envelope stays at or above the plan's threshold for 0.5 s (a quarter of the work window where that is "
                "less) from the contract cue up to the relax cue.",
            .edges =
                "Null as the time above threshold, and where masked samples could hide the moment. At the threshold itself the "
                "envelope may stay above it so long by chance, more easily in long holds.",
            .source = "our choice of 0.5 s and a quarter, because a single swing of the envelope is no contraction",
            .form = MeasureForm::yes_no,
            .compute = reached};
}

}  // namespace tracehold
