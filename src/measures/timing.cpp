// When the person starts, arrives and lets go, counted from the cues. Quoted to 10 ms at best: published methods lie
// 15-30 ms off the true onset even with a clean signal (Kowalski et al. 2021).
#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "measures/families.hpp"
#include "measures/lasting.hpp"
#include "measures/levels.hpp"
#include "measures/window.hpp"
#include "tracehold/measures/cycle_view.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

constexpr double kHeldFor_s = 0.1;      // definition
constexpr double kReleasedFor_s = 0.2;  // definition
constexpr double kRestThatMustRemain_s =
    0.5;  // definition: a fall at the very end of a rest may be the next contraction's dip
// Our choices. Of simulated contractions at 6 dB a tenth of the lift alone reads 0.35 s late in the mean, this within 0.05 s.
constexpr double kRestScatters = 2.0;  // SDs
constexpr double kMostOfLift = 0.5;
constexpr double kSdOfMedianDeviation = 1.4826;  // of a normal law
constexpr const char* kHidden = "masked samples hide the moment";

bool exported(const CycleView& view) { return view.envelope.method == EnvelopeMethod::as_exported; }

double step_s(const CycleView& view) { return 1.0 / view.envelope.rate.value; }

// Exported envelopes know times to a sample step and no finer.
double to_step(const CycleView& view, double time_s) {
    return exported(view) ? std::round(time_s * view.envelope.rate.value) / view.envelope.rate.value : time_s;
}

// Of a moment looked for from a cue on: the sample nearest to the cue may lie a little before it.
double from_cue(const CycleView& view, double time_s) { return std::max(0.0, to_step(view, time_s)); }

std::size_t samples_for(const CycleView& view, double length_s) {
    return std::max<std::size_t>(1, static_cast<std::size_t>(std::ceil(length_s * view.envelope.rate.value - 1e-6)));
}

Estimate reaction_of(const CycleView& view) {
    if (begun_before(view)) return Estimate::none(kBegunBefore);
    if (!view.cycle.onset) {
        return Estimate::none(view.cycle.onset_reason.empty() ? "onset not detectable" : view.cycle.onset_reason);
    }
    const EventTime& onset = *view.cycle.onset;
    Estimate reaction = Estimate::of(to_step(view, onset.time_s - view.cycle.work.begin_s));
    if (onset.corrected) return reaction;
    // A time on a grid is off by up to half a step: SD step / sqrt(12).
    reaction.error = exported(view) ? std::max(onset.error_s, step_s(view) / std::sqrt(12.0)) : onset.error_s;
    return reaction;
}

// For certain: the whole interval of the offset lies before the cue.
bool let_go_before(const CycleView& view) { return view.cycle.offset && view.cycle.offset->high_s < view.cycle.work.end_s; }

// At the cue to relax there is nothing yet to let go of.
bool begun_after(const CycleView& view) { return view.cycle.onset && view.cycle.onset->time_s >= view.cycle.work.end_s; }

// What a clinician set by hand goes before what the envelope shows: nothing is held before its onset, or released before its offset.
std::size_t first_sample(const CycleView& view, const Window& window, const std::optional<EventTime>& event) {
    if (!event || !event->corrected) return window.samples.begin;
    const SampleRange after = samples_in({event->time_s, time_of(window.samples.end, view.envelope.rate)}, view.envelope.rate, window.samples.end);
    return std::clamp(after.begin, window.samples.begin, window.samples.end);
}

Estimate time_to_hold_of(const CycleView& view) {
    if (begun_before(view)) return Estimate::none(kBegunBefore);
    const TimeSpan asked = view.cycle.work;
    const Levels levels = levels_of(view);
    if (!levels.reason.empty()) return Estimate::none(levels.reason);
    const Window window = window_of(view.envelope, {asked.begin_s, std::max(asked.end_s, view.work.end_s)});
    if (!window.reason.empty()) return Estimate::none(window.reason);
    const double level = levels.at(0.9);
    const Lasting held = first_lasting(view.envelope.uv, first_sample(view, window, view.cycle.onset), window.samples.end,
                                       samples_for(view, kHeldFor_s), [&](float e) { return e >= level; });
    if (held.hidden) return Estimate::none(kHidden);
    if (!held.at) return Estimate::none("the hold level was not kept for 0.1 s");
    return Estimate::of(from_cue(view, time_of(*held.at, view.envelope.rate) - asked.begin_s));
}

// Whether it was there already at the sample before; masked or missing samples do not say that it was not.
bool was_low_before(const std::vector<float>& uv, std::size_t at, double level) { return at == 0 || !(uv[at - 1] > level); }

// Twice what the envelope scatters by at rest: about L0 plus that it stays below for 0.2 s as soon as the muscle rests. Half of the
// deviations tell the SD, which the end of a slow release before, or a burst, would raise.
double above_rest_uv(const CycleView& view, const Levels& levels) {
    std::vector<double> off = valid_samples(view.envelope, window_of(view.envelope, view.rest_before));
    for (double& e : off) e = std::abs(e - levels.rest_uv);
    return off.empty() ? 0.0 : kRestScatters * kSdOfMedianDeviation * median(off);
}

Estimate release_of(const CycleView& view) {
    if (let_go_before(view)) return Estimate::none(kLetGoBefore);
    if (begun_after(view)) return Estimate::none(kBegunAfter);
    const Levels levels = levels_of(view);
    if (!levels.reason.empty()) return Estimate::none(levels.reason);
    const TimeSpan rest = view.cycle.rest;
    if (rest.length_s() <= 0.0) return Estimate::none("no rest follows the contraction");
    const Window window = window_of(view.envelope, rest);
    if (!window.reason.empty()) return Estimate::none(window.reason);
    const double above_uv = above_rest_uv(view, levels);
    if (levels.rest_uv + above_uv > levels.at(kMostOfLift)) return Estimate::none("rest scatters by too much of the lift");
    const double level = std::max(levels.at(0.1), levels.rest_uv + above_uv);
    const Lasting low = first_lasting(view.envelope.uv, first_sample(view, window, view.cycle.offset), window.samples.end,
                                      samples_for(view, kReleasedFor_s), [&](float e) { return e <= level; });
    if (low.hidden) return Estimate::none(kHidden);
    if (!low.at) return Estimate::none(kNotReleased);
    if (*low.at == window.samples.begin && was_low_before(view.envelope.uv, *low.at, level)) return Estimate::none(kLetGoBefore);
    const double time_s = time_of(*low.at, view.envelope.rate);
    const double end_s = std::min(rest.end_s, time_of(window.samples.end, view.envelope.rate));
    if (end_s - time_s < kRestThatMustRemain_s - 1e-9) {
        return Estimate::none("less than 0.5 s of rest remains after the release");
    }
    return Estimate::of(from_cue(view, time_s - view.cycle.work.end_s));
}

}  // namespace

Measure reaction() {
    return {
        .key = "reaction_s",
        .title = "Reaction time",
        .unit = "s",
        .ucum = "s",
        .family = "timing",
        .definition =
            "Onset of the contraction less the contract cue; negative where the person starts before the cue. The "
            "onset is the start of the rise, placed by maximum likelihood on the cleaned trace with a model of the "
            "rise whose length is learned from all contractions of the session; on exported envelopes, on their squares, seen "
            "through the recorder's window.",
        .edges =
            "Null where no onset could be told, the recording begins within the contraction, the cues were estimated or are out of step, there are no cues, or the contraction "
            "was missed. Standard error: that of the onset; none where a clinician set the onset. Exported "
            "envelopes: to one sample step, error at least step / sqrt(12); where the recorder's window looks back, late by half of "
            "it.",
        .source = "Staude & Wolf 1999 (detection); model of the rise: our own, its evidence is in the project's tests",
        .needs_cues = true,
        .needs_contraction = true,
        .compute = reaction_of};
}

Measure time_to_hold() {
    return {
        .key = "time_to_hold_s",
        .title = "Time to hold",
        .unit = "s",
        .ucum = "s",
        .family = "timing",
        .definition =
            "First moment from the contract cue on from which the envelope stays at or above L0 + 0.9 (H - L0) for "
            "0.1 s, less the cue; not before an onset set by hand. L0 is the rest level (median of the envelope over the rest before), "
            "H the hold level (median over the hold).",
        .edges =
            "Null where work hardly differs from rest (H - L0 under three of its standard errors), the recording begins within it, the level was never kept, masked samples could hide the moment, the cues were estimated or are out of step, there are no cues, or "
            "the contraction was missed. No standard error: it depends on the shape of the rise and on single swings "
            "of the envelope, which about the level last some 0.1 s. The 0.1-s envelope and the 0.1 s of keeping it "
            "add a little. Exported envelopes: to one sample step.",
        .source = "our choice of 90 % and 0.1 s; 'below 1 s' is common practice in teaching, no source",
        .needs_cues = true,
        .needs_contraction = true,
        .compute = time_to_hold_of};
}

Measure release() {
    return {.key = "release_s",
            .title = "Release time",
            .unit = "s",
            .ucum = "s",
            .family = "timing",
            .definition =
                "First moment from the relax cue on from which the envelope stays at or below L0 + 0.1 (H - L0) for "
                "0.2 s, less the cue; L0 + 2 SD where that is higher; not before an offset set by hand. L0 is the rest level (median of the envelope over the rest "
                "before), SD what the envelope scatters by there (1.4826 times the median deviation from L0), H the hold level "
                "(median over the hold).",
            .edges =
                "Null 'not released in the rest' if never, 'rest scatters by too much of the lift' where 2 SD are more than half of "
                "H - L0, 'had let go before the cue' where the envelope was down there at the cue already or the "
                "whole interval of the offset lies before it, 'begun after the cue to relax' where the onset lies "
                "there, and where less than 0.5 s of rest remains after it, work "
                "hardly differs from rest (H - L0 under three of its standard errors), masked samples could hide the "
                "moment, the cues were estimated or are out of step, there are no cues, or the contraction was missed. Where letting go began "
                "before the cue and was not over by then, only what was left of it counts, and the time is short. No standard "
                "error: it depends on the shape of the fall and on single swings of the envelope; a slow fall to rest that scatters "
                "much reads sooner than its tenth. Exported envelopes: to one "
                "sample step.",
            .source = "our choice of 10 %, 2 SD and 0.2 s; 'below 1 s' is common practice in teaching, no source",
            .needs_cues = true,
            .needs_contraction = true,
            .compute = release_of};
}

}  // namespace tracehold
