// How large the envelope is: electrical activity in microvolts, compared only within one person under one set-up.
#include <algorithm>
#include <cmath>
#include <limits>
#include <span>

#include "measures/families.hpp"
#include "measures/levels.hpp"
#include "measures/window.hpp"
#include "tracehold/core/many_values.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {
namespace {

// At least one is a number.
TRACEHOLD_WIDE double largest_sample(std::span<const float> uv) {
    constexpr float kNone = -std::numeric_limits<float>::infinity();
    return largest_of(uv, kNone, [](float e) { return std::abs(e) <= std::numeric_limits<float>::max() ? e : kNone; });
}

constexpr std::string_view kDescriptive =
    "descriptive; error: Bendat & Piersol, Random Data (from memory), checked by simulation";

Estimate work_mean_of(const CycleView& view) {
    const Estimate mean = mean_of(view.envelope, view.of_work, view.work_bandwidth_hz);
    const TimeSpan beginning{view.work.begin_s, view.work.begin_s + margin_s(view.work)};
    if (mean && !window_of(view.envelope, beginning).reason.empty()) return Estimate::none("masked samples hide the rise, which is part of it");
    return mean;
}

Estimate hold_mean_of(const CycleView& view) { return mean_of(view.envelope, view.of_hold, view.work_bandwidth_hz); }

Estimate rest_mean_of(const CycleView& view) {
    if (view.rest.length_s() <= 0.0) return Estimate::none("no rest follows the contraction");
    if (const std::string why = why_no_rest(view.clean); !why.empty()) return Estimate::none(why);
    return mean_of(view.envelope, view.of_rest, view.rest_bandwidth_hz);
}

Estimate peak_of(const CycleView& view) {
    if (!view.of_work.reason.empty()) return Estimate::none(view.of_work.reason);
    return Estimate::of(largest_sample(samples_of(view.envelope, view.of_work)));
}

Estimate best_second_of(const CycleView& view) {
    const Window& window = view.of_work;
    if (!window.reason.empty()) return Estimate::none(window.reason);
    const SecondMeans means = second_means(view.envelope, window.samples);
    if (means.uv.empty()) return Estimate::none("the contraction is shorter than 1 s");
    const auto best = largest(means, means.uv.size());
    if (!best) return Estimate::none("no second of the contraction is 70 % valid");
    const double begin_s = time_of(window.samples.begin + *best, view.envelope.rate);
    const double length_s = static_cast<double>(means.length) / view.envelope.rate.value;
    const Estimate second = mean_of(view.envelope, window_of(view.envelope, {begin_s, begin_s + length_s}), view.work_bandwidth_hz);
    return {means.uv[*best], second.error, {}};
}

Estimate lift_of(const CycleView& view) {
    const Estimate hold = hold_mean_of(view);
    if (!hold) return hold;
    if (!view.rest_level) return view.rest_level;
    Estimate lift = Estimate::of(*hold.value - *view.rest_level.value);
    if (hold.error && view.rest_level.error) lift.error = std::hypot(*hold.error, *view.rest_level.error);
    return lift;
}

Estimate area_of(const CycleView& view) {
    const Estimate mean = work_mean_of(view);
    if (!mean) return mean;
    Estimate area = Estimate::of(*mean.value * view.work.length_s());
    if (mean.error) area.error = *mean.error * view.work.length_s();
    return area;
}

}  // namespace

Measure work_mean() {
    return {
        .key = "work_mean_uv",
        .title = "Work mean",
        .unit = "µV",
        .ucum = "uV",
        .family = "amplitude",
        .definition =
            "Mean of the envelope from the contract cue up to the relax cue: the whole work window, with the rise "
            "after the cue in it. A slow start lowers it. Of a rapid contraction whose onset was found the window is as long, but "
            "begins with the onset: the reaction can take most of the time that was asked for.",
        .edges =
            "Null where less than 70 % of the window, or of its first second (its first third, if that is less), is valid signal: what is "
            "masked of the rise would make it too high; and where the recorder's limits cut off more than 2 % of it: it would "
            "read 2 % too low and more; nothing but times is then given of the contraction. Standard error: the envelope's root mean "
            "square over the window, divided by 2 sqrt(B T), B the equivalent bandwidth of the cleaned trace there "
            "and T the valid time; at a constant level this is value / (2 sqrt(B T)). It covers the randomness of "
            "the signal, not how differently a person contracts from time to time. None of exported amplitudes where the hold holds too few of "
            "them to tell how they scatter. An RMS over a short window reads "
            "lower than that over a long one, by a share of 1 / (8 B W), W the envelope's window: under 1 % at 100 "
            "ms, the same at work and at rest with one spectrum; it is part of the definition and not corrected.",
        .source = kDescriptive,
        .compute = work_mean_of};
}

Measure hold_mean() {
    return {.key = "hold_mean_uv",
            .title = "Hold mean",
            .unit = "µV",
            .ucum = "uV",
            .family = "amplitude",
            .definition =
                "Mean of the envelope over the hold: the work window (as of the work mean) without its rise and fall. It begins 1 s after "
                "the contract cue, or after the onset where that is later, and ends with the window, or 1 s before the offset where that "
                "is earlier; instead of 1 s a third of the work window, or of the time from there to the offset, where that is less. Where "
                "the window is the contraction itself, without cues or extra, its end is the offset.",
            .edges =
                "Null where the contraction began too late for a hold, or less than 70 % of the hold is valid signal. Where onset or "
                "offset were not found, the cue stands for it. Standard error as for the work mean. A rise or a fall that lasts longer "
                "than 1 s still lowers it.",
            .source = kDescriptive,
            .compute = hold_mean_of};
}

Measure rest_mean() {
    return {.key = "rest_mean_uv",
            .title = "Rest mean",
            .unit = "µV",
            .ucum = "uV",
            .family = "amplitude",
            .definition =
                "Mean of the envelope over the rest that follows: from 1 s after the relax cue (a third of the rest "
                "where that is less) up to the next contract cue or the end of the rest. Resting activity, with the "
                "sensor's own noise in it.",
            .edges =
                "Null where no rest follows, less than 70 % of it is valid signal, the recorder's limits cut off more than 2 % of it, or the recording's rest is finer "
                "than the recorder's digits (RMS below a digit / sqrt 3) or quieter than electrode and amplifier make "
                "by themselves (0.1 µV over 20-450 Hz). Standard error as for the work mean, with the bandwidth of the "
                "rest. A contraction that nobody asked for, within the rest, raises "
                "it.",
            .source = kDescriptive,
            .of_rest_alone = true,
            .compute = rest_mean_of};
}

Measure peak() {
    return {.key = "peak_uv",
            .title = "Peak",
            .unit = "µV",
            .ucum = "uV",
            .family = "amplitude",
            .definition = "Largest value of the envelope in the work window (as of the work mean).",
            .edges =
                "Null where less than 70 % of the window is valid signal. No standard error: the largest of many "
                "random values lies above the muscle's own level, the more so the longer the window; the best second "
                "is steadier. A movement of the electrode that was not recognised sets the peak.",
            .source = "descriptive",
            .compute = peak_of};
}

Measure best_second() {
    return {.key = "best_second_uv",
            .title = "Best second",
            .unit = "µV",
            .ucum = "uV",
            .family = "amplitude",
            .definition =
                "Largest mean of the envelope over any one second that lies wholly in the work window (as of the work mean).",
            .edges =
                "Null where the work window is shorter than 1 s or has less than 70 % valid signal; seconds with "
                "less than 70 % valid signal are passed over. Standard error: that of the mean over this one second. "
                "Choosing the largest of several seconds lifts the value further, in a long even hold by about one "
                "and a half standard errors; this is not in the error.",
            .source = kDescriptive,
            .compute = best_second_of};
}

Measure lift() {
    return {.key = "lift_uv",
            .title = "Lift above rest",
            .unit = "µV",
            .ucum = "uV",
            .family = "amplitude",
            .definition =
                "Hold mean less the rest level. The rest level is the median of the envelope over the rest before "
                "the contraction (from 1 s, or a third of it, after the relax cue before); for a first contraction, "
                "over the plan's opening rest, and where there is none, over the rest after it.",
            .edges =
                "Null where the hold mean or the rest level is null. Negative where the hold reads less than the "
                "rest. Standard error: root of the sum of both squares; that of the median is sqrt(pi - 2) = 1.07 "
                "times that of a mean.",
            .source = "descriptive; error of the median: arcsine law of Gaussian processes, our derivation",
            .compute = lift_of};
}

Measure area() {
    return {
        .key = "area_uvs",
        .title = "Area",
        .unit = "µV·s",
        .ucum = "uV.s",
        .family = "amplitude",
        .definition =
            "Integral of the envelope over the work window: work mean times the length of the window.",
        .edges =
            "Null where less than 70 % of the window is valid signal; what is masked counts with the mean of the "
            "rest of the window. Grows with the length of the work window: compare equal plans only. Standard error: "
            "that of the work mean times the length.",
        .source = kDescriptive,
        .compute = area_of};
}

}  // namespace tracehold
