// Activity in the rest that nobody asked for.
#include <algorithm>
#include <cmath>
#include <span>

#include "measures/families.hpp"
#include "measures/levels.hpp"
#include "measures/window.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {
namespace {

constexpr double kLeastRise_uv = 2.0;  // definition: below, the wobble of the rest itself would count

Estimate stray_of(const CycleView& view) {
    if (view.rest.length_s() <= 0.0) return Estimate::none("no rest follows the contraction");
    const Levels levels = levels_of(view);
    if (!levels.reason.empty()) return Estimate::none(levels.reason);
    const Window& window = view.of_rest;
    if (!window.reason.empty()) return Estimate::none(window.reason);
    const double level = std::max(levels.at(0.25), levels.rest_uv + kLeastRise_uv);
    const std::span<const float> uv = samples_of(view.envelope, window);
    const auto above = std::count_if(uv.begin(), uv.end(), [&](double e) { return std::isfinite(e) && e > level; });
    return Estimate::of(static_cast<double>(above) / view.envelope.rate.value);
}

}  // namespace

Measure stray() {
    return {.key = "stray_s",
            .title = "Activity in the rest",
            .unit = "s",
            .ucum = "s",
            .family = "rest",
            .definition =
                "Seconds of the rest that follows, from 1 s (or a third of it) after the relax cue, in which the "
                "envelope is above both L0 + 0.25 (H - L0) and L0 + 2 µV. L0 is the rest level (median of the "
                "envelope over the rest before), H the hold level (median over the hold).",
            .edges =
                "Null where no rest follows, less than 70 % of it is valid signal, work hardly differs from rest, or "
                "the contraction was missed. Masked time is not counted. A release that takes longer than the "
                "settling second counts, as does a contraction that nobody asked for. No standard error: it depends "
                "on how near the level the activity is.",
            .source = "our choice, because a quarter of the contraction stands clear of the envelope's own swings",
            .needs_contraction = true,
            .compute = stray_of};
}

}  // namespace tracehold
