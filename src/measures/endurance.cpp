// How long a to-fatigue contraction is kept up.
#include <algorithm>
#include <cmath>
#include <string>

#include "measures/families.hpp"
#include "measures/lasting.hpp"
#include "measures/levels.hpp"
#include "measures/window.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {
namespace {

constexpr double kReference_s = 5.0;  // definition: the best second is looked for here
constexpr double kShare = 0.5;        // definition

struct End {
    double after_s = 0.0;   // from the contract cue
    bool censored = false;  // still kept up at the relax cue
    std::string reason;
};

// Means over [t - 0.5 s, t + 0.5 s) stand for time t, so that a sudden end is found where it is.
End end_of(const CycleView& view) {
    if (view.cycle.kind != StepKind::endurance) return {.reason = "not an endurance contraction"};
    if (begun_before(view)) return {.reason = kBegunBefore};
    const Window& window = view.of_work;
    if (!window.reason.empty()) return {.reason = window.reason};
    const SecondMeans means = second_means(view.envelope, window.samples);
    const double rate = view.envelope.rate.value;
    const auto in_reference =
        static_cast<std::size_t>(std::max(0.0, std::round(kReference_s * rate))) + 1 - means.length;
    const auto best = largest(means, in_reference);
    if (!best) return {.reason = "no second of the first 5 s is 70 % valid"};
    const double level = kShare * means.uv[*best];
    const Lasting below =
        first_lasting(means.uv, *best, means.uv.size(), means.length, [&](double m) { return m < level; });
    if (below.hidden) return {.reason = "masked samples hide the moment"};
    const double begin_s = time_of(window.samples.begin, view.envelope.rate);
    const auto after_s = [&](std::size_t mean) {
        return begin_s + (static_cast<double>(mean) + 0.5 * static_cast<double>(means.length)) / rate - view.work.begin_s;
    };
    if (below.at) return {.after_s = after_s(*below.at), .censored = false, .reason = {}};
    std::size_t kept = means.uv.size();  // behind the last mean that is not below: what follows is too short to be an end
    while (kept > 0 && means.uv[kept - 1] < level) --kept;
    return {.after_s = kept < means.uv.size() ? after_s(kept) : view.work.length_s(), .censored = true, .reason = {}};
}

Estimate endurance_of(const CycleView& view) {
    const End end = end_of(view);
    return end.reason.empty() ? Estimate::of(end.after_s) : Estimate::none(end.reason);
}

Estimate censored_of(const CycleView& view) {
    const End end = end_of(view);
    return end.reason.empty() ? Estimate::of(end.censored ? 1.0 : 0.0) : Estimate::none(end.reason);
}

}  // namespace

Measure endurance() {
    return {.key = "endurance_s",
            .title = "Endurance",
            .unit = "s",
            .ucum = "s",
            .family = "endurance",
            .definition =
                "Endurance contractions: time from the contract cue until the 1-s mean of the envelope (centred) "
                "falls below half of the best second of the first 5 s and stays there for 1 s. Where it never does, the time from which "
                "on it is below at the relax cue, or the length of the work window: a lower limit, and 'endurance_censored' is true.",
            .edges =
                "Null for other contractions, where less than 70 % of the window is valid signal, masked samples "
                "could hide the end, the recording begins within it, or the contraction was missed. An end within the last 1.5 s before the relax "
                "cue cannot be told from a dip: the value is then a lower limit. No standard error: it depends on how fast the activity "
                "falls; a sudden end is placed within 0.1 s.",
            .source = "our choice of half and 1 s, because a short dip is not the end",
            .needs_contraction = true,
            .compute = endurance_of};
}

Measure endurance_censored() {
    return {.key = "endurance_censored",
            .title = "Endurance outlasted the window",
            .unit = "",
            .ucum = "1",
            .family = "endurance",
            .definition =
                "Whether an endurance contraction had not ended for certain by the relax cue, so that 'endurance_s' is a lower limit.",
            .edges = "Null as the endurance.",
            .source = "descriptive",
            .form = MeasureForm::yes_no,
            .needs_contraction = true,
            .compute = censored_of};
}

}  // namespace tracehold
