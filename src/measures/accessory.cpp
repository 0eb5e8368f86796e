// What another muscle (abdominal, gluteal ...) does meanwhile. Its activity is never subtracted.
#include <algorithm>
#include <cmath>

#include "measures/families.hpp"
#include "measures/window.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {
namespace {

Estimate coactivity_of(const CycleView& view) {
    if (view.accessory == nullptr) return Estimate::none(view.no_accessory);
    if (!view.accessory_best_uv || !(*view.accessory_best_uv > 0.0)) {
        return Estimate::none("the accessory channel has no valid second above 0");
    }
    const Window window = window_of(*view.accessory, view.work);
    if (!window.reason.empty()) return Estimate::none(window.reason);
    return Estimate::of(100.0 * window.mean / *view.accessory_best_uv);
}

// Pearson's r over the pairs of which both are valid; the accessory's sample nearest in time.
Estimate correlation_of(const CycleView& view) {
    if (view.accessory == nullptr) return Estimate::none(view.no_accessory);
    const Window& window = view.of_work;
    if (!window.reason.empty()) return Estimate::none(window.reason);
    double n = 0.0, mean_x = 0.0, mean_y = 0.0, xx = 0.0, yy = 0.0, xy = 0.0;
    for (std::size_t i = window.samples.begin; i < window.samples.end; ++i) {
        const double at = std::round(time_of(i, view.envelope.rate) * view.accessory->rate.value);
        if (at >= static_cast<double>(view.accessory->uv.size())) break;
        const double x = view.envelope.uv[i];
        const double y = view.accessory->uv[static_cast<std::size_t>(at)];
        if (!std::isfinite(x) || !std::isfinite(y)) continue;
        // Welford's update: no cancellation on a large mean.
        n += 1.0;
        const double dx = x - mean_x;
        const double dy = y - mean_y;
        mean_x += dx / n;
        mean_y += dy / n;
        xx += dx * (x - mean_x);
        yy += dy * (y - mean_y);
        xy += dx * (y - mean_y);
    }
    const double expected = static_cast<double>(window.samples.size());
    if (n < 3.0 || n < kLeastValidShare * expected) return Estimate::none(kTooLittleValid);
    if (!(xx > 0.0) || !(yy > 0.0)) return Estimate::none("one of the channels does not vary");
    return Estimate::of(std::clamp(xy / std::sqrt(xx * yy), -1.0, 1.0));
}

}  // namespace

Measure coactivity() {
    return {.key = "coactivity_pct",
            .title = "Co-activity",
            .unit = "%",
            .ucum = "%",
            .family = "accessory",
            .definition =
                "Mean of the envelope of the accessory channel over the work window (as of the work mean), in percent "
                "of that channel's own best second in the recording. Never subtracted from the channel that is "
                "scored.",
            .edges =
                "Null without an accessory channel, where it has no valid second, or where less than 70 % of the "
                "window is valid there. In percent of what this recording shows, not of the most that the muscle can "
                "do. Part of it may be crosstalk of the muscle that is scored. No standard error: the best second is "
                "the largest of very many, so its chance is not known.",
            .source = "common practice, no source",
            .compute = coactivity_of};
}

Measure coactivity_correlation() {
    return {.key = "coactivity_correlation",
            .title = "Correlation with the accessory channel",
            .unit = "",
            .ucum = "1",
            .family = "accessory",
            .definition =
                "Pearson's correlation of the envelopes of the scored and of the accessory channel over the work window (as of the work "
                "mean); -1 to 1.",
            .edges =
                "Null without an accessory channel, where less than 70 % of the pairs are valid, or one channel does "
                "not vary. Near 1 the two rise and fall together, by joint effort or by crosstalk: this number "
                "cannot tell which. No standard error: neighbouring values depend on each other.",
            .source = "descriptive (Pearson)",
            .compute = correlation_of};
}

}  // namespace tracehold
