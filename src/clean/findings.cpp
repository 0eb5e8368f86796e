// One function a finding; each returns nothing where there is nothing to say. Texts: plain words, the figures, what was
// done.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "clean/found.hpp"
#include "clean/plausible.hpp"
#include "clean/prefilter.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

using Maybe = std::optional<Finding>;

constexpr double kManySeconds_pct = 5.0;  // masked for one reason: from here on a caution; our choice
constexpr double kMuchMasked_pct = 10.0;
constexpr double kTooMuchMasked_pct = 70.0;  // less than a third left shows no session; our choice
constexpr double kLeastValid_s = 1.0;
constexpr double kSession_s = 60.0;  // the shortest training that is prescribed takes longer; our choice
constexpr double kHugeHum_uv = 50.0;  // with nearly all power: no muscle can be read under it; our choice
constexpr double kHugeHumShare = 0.9;
constexpr double kSomeRepeating = 0.1;  // of the power is 5 % of the amplitude
constexpr double kMostlyRepeating = 0.5;
constexpr double kMuchPulsed_pct = 10.0;  // of the recording
constexpr double kMuchHum = 0.5;          // of the power
constexpr double kSlowestBeat_per_min = 40.0, kFastestBeat_per_min = 120.0;  // of people at rest; our choice
constexpr double kSameBeat = 0.2;  // of the usual interval: breath and chance make 10 %; of gaps at random one in four is that near
constexpr double kNearZeroShare = 0.03;   // rectified noise: 0.06 to 0.08; a smoothed amplitude: none
constexpr double kFlat = 2.8;         // kurtosis; of muscle 3 and more, at 2.7 contractions read 5 % too low
constexpr double kMostlyRounding = 0.5;   // of the noise
constexpr double kMuchBroadband = 0.4;    // of the power at rest, which then reads 30 % too high
constexpr double kOneLine = 0.6;     // of the power; of muscle 0.3 at most; our choice
constexpr double kCopied_s = 1.0;    // our choice: less moves no measure
constexpr double kUnsteadyHum = 2.0;      // times the resting level that it is part of, were it there throughout

// What everything here needs to know of one channel.
struct Case {
    const Channel& channel;
    const Found& found;
    const CleanSettings& settings;
    double pct(double seconds) const { return found.duration_s > 0.0 ? 100.0 * seconds / found.duration_s : 0.0; }
    double seconds(const Ranges& ranges) const { return seconds_in(ranges, channel.rate); }
    std::vector<TimeSpan> times(const Ranges& ranges) const { return as_times(ranges, channel.rate); }
};

std::string places(std::size_t count) { return count == 1 ? "in 1 place" : fmt::format("in {} places", count); }

Severity by_share(double pct) { return pct > kManySeconds_pct ? Severity::caution : Severity::note; }

Maybe missing(const Case& c) {
    const Ranges& gaps = c.found.missing;
    if (gaps.empty() || c.found.valid_s <= 0.0) return std::nullopt;
    const double seconds = c.seconds(gaps);
    return Finding{"missing", by_share(c.pct(seconds)),
                   fmt::format("nothing was recorded {}, {} s together; left out", places(gaps.size()), fixed_text(seconds, seconds < 1.0 ? 3 : 1)),
                   c.times(gaps)};
}

Maybe contact_lost(const Case& c) {
    const Ranges& lost = c.found.stuck.contact_lost;
    if (lost.empty()) return std::nullopt;
    if (c.found.valid_s <= 0.0) {
        return Finding{"contact_lost",
                       Severity::reject,
                       "the trace stands still throughout: no contact, or nothing was recorded",
                       {}};
    }
    return Finding{
        "contact_lost", Severity::caution,
        fmt::format("the {} {}, {:.1f} s together, as when an electrode loses contact; masked",
                    c.channel.kind == ChannelKind::envelope ? "amplitude falls to nothing, which rest does not," : "trace stands still",
                    places(lost.size()), c.seconds(lost)),
        c.times(lost)};
}

Maybe only_broadband(const Case& c) {
    const Ranges& only = c.found.only_broadband;
    if (only.empty()) return std::nullopt;
    return Finding{"contact_lost", Severity::caution,
                   fmt::format("noise that is as strong at every frequency, and no muscle, fills the trace {}, {:.1f} s together, as when an electrode "
                               "loses contact; masked",
                               places(only.size()), c.seconds(only)),
                   c.times(only)};
}

Maybe broadband(const Case& c) {
    const Broadband& noise = c.found.broadband;
    const double rounding = c.found.step_uv * c.found.step_uv / 12.0;  // is as strong at every frequency too, and told by itself
    if (noise.spans.empty() || rounding > kMostlyRounding * noise.uv * noise.uv) return std::nullopt;
    return Finding{"broadband", noise.share > kMuchBroadband ? Severity::caution : Severity::note,
                   fmt::format("{:.0f} % of the power at rest, {:.1f} µV, is as strong at every frequency, {} over {:.0f} s: rest there may be noise of "
                               "recorder or electrode rather than muscle",
                               100.0 * noise.share, noise.uv, places(noise.spans.size()), c.seconds(noise.spans)),
                   c.times(noise.spans)};
}

// Tones are flatter than muscle too, and told by themselves.
Maybe flattened(const Case& c) {
    const auto& [kurtosis, error] = c.found.peakedness;
    if (!c.found.stuck.clipped.empty() || kurtosis + 2.0 * error > kFlat || c.found.hum_alone) return std::nullopt;
    if (c.found.repeating.sure > kSomeRepeating || c.found.one_line > kOneLine) return std::nullopt;
    return Finding{"clipping", Severity::caution,
                   fmt::format("the loud parts are flatter than muscle's (kurtosis {:.1f}, of muscle 3 and more): the recorder probably bends its "
                               "strongest activity, and contractions read too low",
                               kurtosis),
                   {}};
}

Maybe reference_off(const Case& c) {
    const MainsHum& hum = c.found.mains.hum;
    if (hum.rms_uv >= kHugeHum_uv && hum.share_of_power >= kHugeHumShare) {
        return Finding{
            "reference_off",
            Severity::reject,
            fmt::format(
                "mains hum of {:.0f} µV makes up {:.0f} % of the signal throughout, as with an electrode or the "
                "reference off: muscle cannot be read under it",
                hum.rms_uv, 100.0 * hum.share_of_power),
            {}};
    }
    if (c.found.open_hum.empty()) return std::nullopt;
    return Finding{
        "reference_off", Severity::caution,
        fmt::format(
            "mains hum fills the trace {}, {:.1f} s together, as with an electrode or the reference off; masked",
            places(c.found.open_hum.size()), c.seconds(c.found.open_hum)),
        c.times(c.found.open_hum)};
}

Maybe mains(const Case& c) {
    const MainsHum& hum = c.found.mains.hum;
    if (c.found.mains.lines_hz.empty()) return std::nullopt;
    const std::size_t lines = c.found.mains.lines_hz.size();
    // A rest that reads nothing, as below coarse digits, makes no hum strong.
    const bool strong = hum.rms_uv > 3.0 * std::max(c.found.rest_uv, c.found.least_uv) || hum.share_of_power >= kMuchHum;
    const bool unsteady = strong && hum.rms_uv > kUnsteadyHum * c.found.rest_with_hum_uv;
    const bool other = (c.settings.mains == MainsRemoval::hz50 && hum.hz == 60.0) || (c.settings.mains == MainsRemoval::hz60 && hum.hz == 50.0);
    std::string what =
        fmt::format("mains hum at {:.0f} Hz{}, {} of its multiples, {:.1f} µV RMS, {:.0f} % of the signal's power",
                    hum.hz, other ? fmt::format(" though {:.0f} Hz was said", 110.0 - hum.hz) : "", lines, hum.rms_uv, 100.0 * hum.share_of_power);
    if (c.found.hum_alone) {
        return Finding{"mains", Severity::reject,
                       what + "; it comes and goes, and beneath and beside it nothing stands out from rest: what it makes is no "
                              "contraction",
                       {}};
    }
    if (unsteady) what += ", not there throughout: the pulses of a stimulator at that rate read alike";
    if (!hum.removed) {
        return Finding{"mains", Severity::caution, what + "; left in, as asked: resting activity reads too high", {}};
    }
    return Finding{"mains",
                   strong ? Severity::caution : Severity::note,
                   what + (hum.share_of_power >= kHugeHumShare
                               ? "; fitted and removed line by line, which brings back no muscle under it"
                               : "; removed line by line, which costs muscle less than 1 % of its amplitude"),
                   {}};
}

// Parts of hum that are masked because it could not be followed there.
Maybe masked_hum(const Case& c, const Ranges& parts, const std::string& what) {
    if (parts.empty()) return std::nullopt;
    return Finding{"mains", Severity::caution,
                   fmt::format("mains hum {} {}, {:.1f} s together; masked", what, places(parts.size()), c.seconds(parts)), c.times(parts)};
}

Maybe mains_steps(const Case& c) {
    return masked_hum(c, c.found.mains.steps, fmt::format("at {:.0f} Hz comes and goes: it begins or ends at once", c.found.mains.hum.hz));
}

Maybe left_hum(const Case& c) {
    return masked_hum(c, c.found.left_hum,
                      "comes and goes: for a while it holds a fifth of the power and more and could not be removed,");
}

Maybe clipping(const Case& c) {
    const Ranges& clipped = c.found.stuck.clipped;
    if (clipped.empty()) return std::nullopt;
    std::size_t samples = 0;
    for (const SampleRange range : clipped) samples += range.size();
    return Finding{
        "clipping", Severity::caution,
        fmt::format("{} samples {} stand at the recorder's limits: the strongest activity is cut off and reads too low", samples,
                    places(clipped.size())),
        c.times(clipped)};
}

// Waves that come as often as a heart beats, for most of the time, are no movement of cable or electrode.
Maybe beats_or_motion(const Case& c) {
    if (c.found.motion.empty()) return std::nullopt;
    const double seconds = c.seconds(c.found.motion);
    const PulseTrain train = find_pulse_train(c.found.motion, c.channel.rate, kSameBeat);
    if (60.0 * train.hz >= kSlowestBeat_per_min && 60.0 * train.hz <= kFastestBeat_per_min) {
        return Finding{
            "heart_beats", by_share(c.pct(seconds)),
            fmt::format("waves far larger than muscle makes come about {:.0f} times a minute, as heart beats do, {:.1f} s together; masked",
                        60.0 * train.hz, seconds),
            c.times(c.found.motion)};
    }
    return Finding{
        "motion", by_share(c.pct(seconds)),
        fmt::format(
            "slow waves far larger than muscle makes {}, {:.1f} s together, as when electrode or cable move; masked",
            places(c.found.motion.size()), seconds),
        c.times(c.found.motion)};
}

Maybe spikes(const Case& c) {
    if (c.found.spikes.empty()) return std::nullopt;
    return Finding{
        "spikes", by_share(c.pct(c.seconds(c.found.spikes))),
        fmt::format("single samples far outside the trace around them {}; masked", places(c.found.spikes.size())),
        c.times(c.found.spikes)};
}

Maybe heart_beats(const Case& c) {
    const HeartBeats& beats = c.found.beats;
    if (beats.times_s.empty()) return std::nullopt;
    return Finding{
        "heart_beats",
        Severity::note,
        fmt::format(
            "heart beats, {} of them at about {:.0f} a minute, {:.1f} µV high; the average beat was subtracted, which "
            "costs about {:.1f} % of muscle power",
            beats.times_s.size(), beats.per_minute, beats.peak_uv, 100.0 * beats.cost_share),
        {}};
}

Maybe drift(const Case& c) {
    constexpr double kLeastDrift_uv = 50.0, kTimesRest = 10.0;  // our choice: what an eye would call drifting
    if (c.found.drift_uv < std::max(kLeastDrift_uv, kTimesRest * c.found.rest_uv)) return std::nullopt;
    return Finding{"drift",
                   Severity::note,
                   fmt::format("the baseline wanders over {:.0f} µV; the high-pass takes it away", c.found.drift_uv),
                   {}};
}

Maybe undersampled(const Case& c) {
    constexpr double kFullBand_hz = 1000.0;
    if (c.channel.rate.value >= kFullBand_hz) return std::nullopt;
    // Common practice puts the median frequency of muscle at the skin between 60 and 120 Hz, no source; most of its power must be in the band.
    constexpr double kLowestRate_hz = 220.0;
    if (c.channel.rate.value < kLowestRate_hz) {
        return Finding{"undersampled",
                       Severity::reject,
                       fmt::format("recorded at {:g} Hz: a raw trace at that rate lacks most of what muscle gives, or has it folded over the rest, so "
                                   "it cannot be read as muscle; if the file holds an amplitude, --kind envelope says so",
                                   c.channel.rate.value),
                       {}};
    }
    return Finding{"undersampled",
                   Severity::note,
                   fmt::format("recorded at {:g} Hz: the band ends below 450 Hz, so amplitudes read lower than at higher "
                               "rates and compare only with those of this rate",
                               c.channel.rate.value),
                   {}};
}

// An amplitude at rest hardly moves, so it may be off by half a digit all the time.
Maybe coarse_amplitude(const Case& c) {
    constexpr double kSome_pct = 10.0, kMuch_pct = 20.0;  // our choice
    const double off_pct = 50.0 * c.found.step_uv / c.found.rest_uv;
    if (off_pct < kSome_pct) return std::nullopt;
    return Finding{"quantised",
                   off_pct > kMuch_pct ? Severity::caution : Severity::note,
                   fmt::format("digits of {:.2g} µV at a resting level of {:.2g} µV: rest may be off by {:.0f} %, and where a contraction "
                               "begins or whether there is one may be wrong",
                               c.found.step_uv, c.found.rest_uv, off_pct),
                   {}};
}

Maybe quantised(const Case& c) {
    const double rest = c.found.rest_uv;
    if (c.found.step_uv <= 0.0 || rest <= 0.0) return std::nullopt;
    if (c.channel.kind == ChannelKind::envelope) return coarse_amplitude(c);
    const double added_pct =
        100.0 * c.found.step_uv * c.found.step_uv / 12.0 / (rest * rest);  // rounding noise is step^2 / 12
    if (added_pct < 2.0) return std::nullopt;
    const auto severity = added_pct > 10.0 ? Severity::caution : Severity::note;  // 10 % of power is 5 % of amplitude
    return Finding{
        "quantised",
        severity,
        fmt::format("digits of {:.2g} µV at a resting level of {:.2g} µV: rounding makes up {:.0f} % of its power",
                    c.found.step_uv, rest, std::min(100.0, added_pct)),
        {}};
}

Maybe header_prefilter(const Case& c) {
    constexpr double kHighestHighPass_hz = 25.0, kLowestLowPass_hz = 400.0;
    const Prefilter said = parse_prefilter(c.channel.prefilter);
    std::string text;
    const auto add = [&](std::string part) { text += (text.empty() ? "" : ", ") + part; };
    if (said.high_pass && *said.high_pass > kHighestHighPass_hz)
        add(fmt::format("high-pass at {:g} Hz", *said.high_pass));
    if (said.low_pass && *said.low_pass < kLowestLowPass_hz) add(fmt::format("low-pass at {:g} Hz", *said.low_pass));
    if (said.notch) add(fmt::format("notch at {:g} Hz", *said.notch));
    if (text.empty()) return std::nullopt;
    return Finding{"header_prefilter",
                   Severity::caution,
                   "by its header the recorder filtered already (" + text +
                       "): amplitudes compare only with recordings that were filtered alike",
                   {}};
}

Maybe too_large(const Case& c) {
    if (c.found.loud_uv <= kLargest_uv) return std::nullopt;
    return Finding{
        "too_large",
        Severity::reject,
        fmt::format("the loud parts read {:.0f} µV, more than muscle gives at the skin ({:.0f} µV): the unit is "
                    "probably another; --unit says which",
                    c.found.loud_uv, kLargest_uv),
        {}};
}

Maybe too_small(const Case& c) {
    if (c.found.valid_s <= 0.0) return std::nullopt;
    if (c.found.loud_uv >= c.found.least_uv) return std::nullopt;
    return Finding{
        "too_small",
        Severity::reject,
        fmt::format("even the loud parts read {:.2g} µV, less than electrode and amplifier make by themselves "
                    "({:.2g} µV): nothing of the body is in the trace, or the unit is another; --unit says which",
                    c.found.loud_uv, c.found.least_uv),
        {}};
}

Maybe rest_unreadable(const Case& c) {
    if (c.found.no_rest.empty()) return std::nullopt;
    return Finding{
        "rest_unreadable",
        Severity::caution,
        fmt::format("rest reads {:.2g} µV, {}: no resting activity is given", c.found.rest_uv, c.found.no_rest),
        {}};
}

Maybe repeating(const Case& c) {
    const Repeating& all = c.found.repeating;
    const Repeating& rest = c.found.repeating_at_rest;
    const bool throughout = all.sure >= kSomeRepeating;
    if (!throughout && rest.sure < kSomeRepeating) return std::nullopt;
    return Finding{
        "repeating",
        all.sure >= kMostlyRepeating ? Severity::reject : Severity::caution,
        fmt::format("{:.0f} % of the power {} repeats itself exactly, most of it at {:.0f} Hz, as tones, the "
                    "pulses of a stimulator or electronics nearby do and muscle does not",
                    100.0 * (throughout ? all : rest).share, throughout ? "of the signal" : "at rest",
                    (throughout ? all : rest).hz),
        {}};
}

Maybe wandering_tone(const Case& c) {
    if (c.found.one_line < kOneLine || repeating(c)) return std::nullopt;
    return Finding{"repeating",
                   Severity::caution,
                   fmt::format("a single line, though it wanders, carries {:.0f} % of the power of the loud parts, as tones of electronics do "
                               "and muscle does not",
                               100.0 * c.found.one_line),
                   {}};
}

Maybe pulsed(const Case& c) {
    const PulseTrain& train = c.found.pulses;
    if (!(train.hz > 0.0)) return std::nullopt;
    return Finding{
        "repeating",
        c.pct(train.seconds) > kMuchPulsed_pct ? Severity::reject : Severity::caution,
        fmt::format("pulses come {:.2g} times a second for {:.0f} s together, as from a stimulator: what the "
                    "muscle does of itself cannot be told from what they do",
                    train.hz, train.seconds),
        {}};
}

// Of the time in which there could be a session. A gap counts, unless what is left is long enough to be one that stands whole beside it.
double expected_s(const Case& c) {
    return c.found.duration_s - (c.found.valid_s < kSession_s ? 0.0 : c.seconds(c.found.missing));
}

Maybe masked_much(const Case& c) {
    const double pct = 100.0 * c.found.lost_share;
    const double of_s = expected_s(c);
    if (c.found.valid_s < kLeastValid_s || 100.0 * (of_s - c.found.valid_s) > kTooMuchMasked_pct * of_s) {
        return Finding{"masked_much",
                       Severity::reject,
                       fmt::format("only {:.1f} s of {:.1f} s can be believed: too little to score", c.found.valid_s, of_s),
                       {}};
    }
    if (pct <= kMuchMasked_pct) return std::nullopt;
    return Finding{"masked_much",
                   Severity::caution,
                   fmt::format("{:.0f} % of the recording is missing or masked; measures rest on what is left", pct),
                   {}};
}

Maybe already_envelope(const Case& c) {
    if (c.channel.kind != ChannelKind::envelope) return std::nullopt;
    return Finding{"already_envelope",
                   Severity::note,
                   "the recording holds an amplitude, not the raw trace: it was not filtered, and artefacts in it "
                   "cannot be told from muscle",
                   {}};
}

Maybe not_smoothed(const Case& c) {
    if (c.found.near_zero < kNearZeroShare) return std::nullopt;
    return Finding{"not_smoothed",
                   Severity::caution,
                   fmt::format("{:.0f} % of the amplitude within contractions is near 0, as in a raw trace without its sign and never in one "
                               "that was smoothed: it reads a fifth lower than an RMS, and when contractions begin and end is not to be trusted",
                               100.0 * c.found.near_zero),
                   {}};
}

Maybe copied(const Case& c) {
    if (c.found.copied_s < kCopied_s) return std::nullopt;
    return Finding{"copied",
                   Severity::caution,
                   fmt::format("the very same samples come again, about {:.0f} s of them: parts of the trace were written twice or put together, "
                               "and do not show what the muscle did at their time",
                               c.found.copied_s),
                   {}};
}

}  // namespace

std::vector<Finding> put_into_words(const Channel& channel, const Found& found, const CleanSettings& settings) {
    const Case c{channel, found, settings};
    std::vector<Finding> out;
    const auto add = [&](Maybe finding) {
        if (finding) out.push_back(std::move(*finding));
    };
    add(masked_much(c));
    add(missing(c));
    add(contact_lost(c));
    add(too_large(c));
    add(too_small(c));
    if (channel.kind == ChannelKind::envelope) {
        add(clipping(c));
        add(rest_unreadable(c));
        add(quantised(c));
        add(already_envelope(c));
        add(not_smoothed(c));
        return out;
    }
    add(only_broadband(c));
    add(reference_off(c));
    add(repeating(c));
    add(wandering_tone(c));
    add(pulsed(c));
    add(copied(c));
    add(clipping(c));
    add(flattened(c));
    add(beats_or_motion(c));
    add(spikes(c));
    add(mains(c));
    add(mains_steps(c));
    add(left_hum(c));
    add(heart_beats(c));
    add(undersampled(c));
    add(header_prefilter(c));
    add(rest_unreadable(c));
    add(quantised(c));
    add(broadband(c));
    add(drift(c));
    return out;
}

}  // namespace tracehold
