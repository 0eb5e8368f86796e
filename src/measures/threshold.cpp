// Against the training threshold that the plan sets.
#include <algorithm>
#include <cmath>
#include <span>

#include "measures/families.hpp"
#include "measures/window.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {
namespace {

// Our choices: half a second of a hold; a rapid contraction of 1 s is at its height for little more than a quarter of it.
constexpr double kReachedOver_s = 0.5, kReachedShare = 0.25;

Estimate share_above(const CycleView& view) {
    if (!view.threshold_uv) return Estimate::none(view.threshold_reason);
    const Window& window = view.of_work;
    if (!window.reason.empty()) return Estimate::none(window.reason);
    const std::span<const float> uv = samples_of(view.envelope, window);
    const auto above = std::count_if(uv.begin(), uv.end(), [&](double e) { return std::isfinite(e) && e >= *view.threshold_uv; });
    return Estimate::of(100.0 * static_cast<double>(above) / static_cast<double>(window.valid));
}

enum class Seen { never, masked, reached };

// Any running mean over `length` samples that is at or above the level. Masked: one of which the samples that are there are.
Seen mean_reaches(std::span<const float> uv, std::size_t length, double level) {
    Seen seen = Seen::never;
    double sum = 0.0;
    std::size_t valid = 0;
    for (std::size_t end = 0; end < uv.size(); ++end) {
        if (std::isfinite(uv[end])) sum += uv[end], ++valid;
        if (end >= length && std::isfinite(uv[end - length])) sum -= uv[end - length], --valid;
        if (end + 1 < length || sum < level * static_cast<double>(valid)) continue;
        if (valid == length) return Seen::reached;
        seen = Seen::masked;
    }
    return seen;
}

// The envelope scatters about its level, by a tenth and more, in swings of some 0.1 s: neither one of them up nor one down decides.
Estimate reached(const CycleView& view) {
    if (!view.threshold_uv) return Estimate::none(view.threshold_reason);
    const Window& window = view.of_work;
    if (!window.reason.empty()) return Estimate::none(window.reason);
    const double over_s = std::min(kReachedOver_s, kReachedShare * view.work.length_s());
    const auto samples = std::max<std::size_t>(1, static_cast<std::size_t>(std::ceil(over_s * view.envelope.rate.value - 1e-6)));
    const Seen seen = mean_reaches(samples_of(view.envelope, window), samples, *view.threshold_uv);
    if (seen == Seen::masked) return Estimate::none("masked samples hide the moment");
    return Estimate::of(seen == Seen::reached ? 1.0 : 0.0);
}

}  // namespace

Measure above_threshold() {
    return {.key = "above_threshold_pct",
            .title = "Time above threshold",
            .unit = "%",
            .ucum = "%",
            .family = "threshold",
            .definition =
                "Share of the valid time of the work window (as of the work mean) in which the envelope is at or "
                "above the plan's threshold: a number of microvolts, or a percent of a stated reference or of the "
                "session's own best second.",
            .edges =
                "Null where the plan sets no threshold, its reference is unknown, or less than 70 % of the window is "
                "valid signal. The reaction time counts as below, but for rapid contractions. No standard error: it depends on how near the "
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
                "Whether the mean of the envelope over any 0.5 s (a quarter of the work window where that is less) of the work window (as of "
                "the work mean) is at or above the plan's threshold.",
            .edges =
                "Null as the time above threshold, and where masked samples could hide the moment. Of a level "
                "just under the threshold it is reached by chance now and then, more easily in long holds.",
            .source = "our choice of 0.5 s and a quarter, because a single swing of the envelope, up or down, is no contraction",
            .form = MeasureForm::yes_no,
            .compute = reached};
}

}  // namespace tracehold
