// What needs no filter to be seen is masked first (missing, stuck, spikes), and the rest is filtered, run by run. Open
// electrodes show in the filtered trace, movement once mains and heart beats are away. Where there is either, filtering
// starts again from the samples with them masked too, so that nothing of them spreads into what is kept.
#include "tracehold/clean/clean_recording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "clean/copies.hpp"
#include "clean/found.hpp"
#include "clean/frames.hpp"
#include "clean/left_hum.hpp"
#include "clean/motion.hpp"
#include "clean/open_hum.hpp"
#include "clean/plausible.hpp"
#include "clean/rectified.hpp"
#include "clean/repeating.hpp"
#include "clean/spikes.hpp"
#include "tracehold/clean/butterworth.hpp"
#include "tracehold/clean/welch.hpp"
#include "tracehold/clean/zero_phase.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/many_values.hpp"
#include "tracehold/core/memory.hpp"
#include "tracehold/core/side_by_side.hpp"

namespace tracehold {
namespace {

constexpr double kShortestRecording_s = 1.0;
constexpr double kHighestShare = 0.45;     // of the rate: the low-pass cannot come closer to half the rate
constexpr double kContactMargin_s = 0.05;  // a recorder's input needs that long to come back; our choice
constexpr double kShortRemainder = 1e-2;   // a run is kept if the start of a pass has died out to this within it

struct Band {
    Hertz low, high;
    std::vector<FilterSection> sections;
};

Band band_of(const CleanSettings& settings, Hertz rate) {
    const Hertz high{std::min(settings.low_pass.value, kHighestShare * rate.value)};
    if (!(settings.high_pass.value > 0.0) || !(settings.high_pass < high)) {
        throw Error{ErrorKind::bad_setting, "", "band",
                    fmt::format("no band left: saw a high-pass at {:g} Hz and a low-pass at {:g} Hz for a rate of {:g} "
                                "Hz, expected the first "
                                "below the second",
                                settings.high_pass.value, high.value, rate.value),
                    "if the file holds an amplitude rather than a raw trace, say --kind envelope"};
    }
    Band band{settings.high_pass, high, {}};
    band.sections =
        butterworth_high_pass(settings.order, high_pass_corner_for_two_passes(settings.order, band.low, rate), rate);
    const auto low_pass =
        butterworth_low_pass(settings.order, low_pass_corner_for_two_passes(settings.order, high, rate), rate);
    band.sections.insert(band.sections.end(), low_pass.begin(), low_pass.end());
    return band;
}

const Channel& channel_of(const Recording& recording, std::size_t number) {
    if (number >= recording.channels.size()) {
        throw Error{
            ErrorKind::bad_setting, recording.source, "channel",
            fmt::format("no such channel: saw number {}, expected 1 to {}", number + 1, recording.channels.size())};
    }
    const Channel& channel = recording.channels[number];
    if (channel.kind == ChannelKind::other) {
        throw Error{ErrorKind::unsupported, recording.source, fmt::format("channel {}", number + 1),
                    "the channel holds no muscle signal",
                    "choose another with --channel, or say what it is with --unit or --kind"};
    }
    const double length_s = time_of(channel.samples.size(), channel.rate);
    if (length_s < kShortestRecording_s) {
        throw Error{ErrorKind::too_short, recording.source, fmt::format("channel {}", number + 1),
                    fmt::format("too short to clean: saw {:.2f} s, expected at least {:.0f} s", length_s,
                                kShortestRecording_s)};
    }
    return channel;
}

Ranges as_ranges(const std::vector<TimeSpan>& spans, Hertz rate, std::size_t size) {
    Ranges out;
    for (const TimeSpan span : spans) out.push_back(samples_in(span, rate, size));
    std::erase_if(out, [](SampleRange r) { return r.empty(); });
    return widened(std::move(out), 0, size);
}

TRACEHOLD_WIDE void take_mean(std::span<float> run) {
    const double mean = sum_of_valid(run, [](auto&) {}).mean();
    for (float& v : run) v = static_cast<float>(v - mean);
}

// Each valid run by itself; runs shorter than the filter's settling are masked.
void filter_runs(std::span<float> uv, const Band& band) {
    const std::size_t shortest = settling_samples(band.sections, kShortRemainder);
    for (const SampleRange range : valid_runs(uv)) {
        const auto run = uv.subspan(range.begin, range.size());
        if (range.size() < shortest) {
            std::fill(run.begin(), run.end(), std::nanf(""));
            continue;
        }
        take_mean(run);
        run_zero_phase(band.sections, run);
    }
}

std::vector<float> masked_samples(const Channel& channel, const Ranges& masks) {
    std::vector<float> uv;
    reserve_large(uv, channel.samples.size());
    uv = channel.samples;
    mask(uv, masks);
    return uv;
}

void join(Ranges& ranges, const Ranges& more, std::size_t size) {
    ranges.insert(ranges.end(), more.begin(), more.end());
    ranges = widened(std::move(ranges), 0, size);
}

// Everything that shows before filtering, on top of what is masked already.
void mask_stuck_and_spikes(std::vector<float>& samples, const Channel& channel, Found& found) {
    found.stuck = find_stuck(samples, channel);
    const auto margin = static_cast<std::size_t>(kContactMargin_s * channel.rate.value);
    found.stuck.contact_lost = widened(std::move(found.stuck.contact_lost), margin, samples.size());
    mask(samples, found.stuck.torn);
    mask(samples, found.stuck.contact_lost);
    found.spikes = find_spikes(samples, channel.rate);
    mask(samples, found.spikes);
}

// A band-passed trace, and what is read from all of it again and again.
struct Trace {
    std::vector<float>& uv;
    Hertz rate, highest;
    HalfSeconds halves = {};
    Frames powers = {};                // of 10 ms
    std::vector<float> smoothed = {};  // over half seconds
    double rest_uv = 0.0;

    // After every change.
    void read() {
        side_by_side([&] { halves = look_at_half_seconds(uv, rate, highest); },
                     [&] {
                         powers = short_powers(uv, rate);
                         smoothed = half_second_powers(powers);
                         rest_uv = resting_level(smoothed);
                     });
    }
};

// Out: where an electrode is off under hum.
Ranges take_away(Trace& trace, MainsRemoval how, Found& found) {
    found.rest_with_hum_uv = trace.rest_uv;
    const std::vector<LineBlocks>& hum = trace.halves.hum;
    HumPowers blocks{block_powers(trace.uv, hum.front()), {}, {}};
    found.mains = treat_mains(trace.uv, hum, how);
    const bool removed = found.mains.hum.removed;
    if (removed) blocks.hum = hum_powers(found.mains.hum.hz == kMains_hz[0] ? hum.front() : hum.back());
    found.beats = find_heart_beats(trace.uv, trace.rate);
    remove_heart_beats(trace.uv, trace.rate, found.beats);
    if (removed || !found.mains.steps.empty() || !found.beats.times_s.empty()) trace.read();
    found.rest_uv = trace.rest_uv;
    found.hum_alone = false;
    if (!removed) return {};
    blocks.left = block_powers(trace.uv, hum.front());
    found.hum_alone = hum_stands_alone(blocks, found.rest_uv);
    return found.hum_alone ? Ranges{} : find_silent_hum(blocks, hum.front(), trace.uv.size());
}

// The values may stand on a coarser grid than the file could tell apart.
double step_of(std::span<const float> samples, const Channel& channel) {
    return std::max(static_cast<double>(channel.step.value_or(0.0F)), digital_step(samples));
}

void note_range_and_step(std::span<const float> samples, const Channel& channel, Found& found) {
    const Frames seconds = frame_means(samples, channel.rate, Seconds{1.0});
    found.drift_uv = valid_quantile(seconds.value, 0.95) - valid_quantile(seconds.value, 0.05);
    found.step_uv = step_of(samples, channel);
}

void clean_raw(CleanRecording& out, const Channel& channel, const CleanSettings& settings, Found& found) {
    const Band band = band_of(settings, channel.rate);
    const Hertz rate = channel.rate;
    const std::size_t size = channel.samples.size();
    out.low_hz = band.low.value;
    out.high_hz = band.high.value;
    Ranges masks = as_ranges(settings.mask, rate, size);
    join(masks, found.missing, size);
    out.uv = masked_samples(channel, masks);
    side_by_side(
        [&] {
            mask_stuck_and_spikes(out.uv, channel, found);
            note_range_and_step(out.uv, channel, found);
        },
        [&] { found.copied_s = copied_seconds(channel.samples, rate); });
    for (const Ranges* part : {&found.stuck.torn, &found.stuck.contact_lost, &found.spikes})
        join(masks, *part, size);

    Trace trace{out.uv, rate, band.high};
    const auto filter = [&] {
        filter_runs(out.uv, band);
        trace.read();
    };
    const auto filter_without = [&](const Ranges& more) {
        join(masks, more, size);
        out.uv = masked_samples(channel, masks);
        filter();
    };
    const auto clean_without = [&](const Ranges& more) {
        filter_without(more);
        return take_away(trace, settings.mains, found);
    };
    filter();
    found.open_hum = find_open_hum(out.uv, rate, trace.halves.hum, trace.rest_uv);
    if (!found.open_hum.empty()) filter_without(found.open_hum);
    if (const Ranges silent = take_away(trace, settings.mains, found); !silent.empty()) {
        join(found.open_hum, silent, size);
        clean_without(silent);
    }
    found.only_broadband = find_only_broadband({trace.halves, band.low, band.high}, size);
    if (!found.only_broadband.empty()) clean_without(found.only_broadband);
    found.motion = find_motion(slow_waves(channel.samples, rate, masks), out.uv, rate, found.beats);
    if (!found.motion.empty()) clean_without(found.motion);
    // Where some of it is masked the rest is fitted anew, and what that leaves is looked at once more.
    for (int again = 0; again < 2 && settings.mains != MainsRemoval::off && !found.hum_alone; ++again) {
        Ranges known = found.open_hum;
        join(known, found.left_hum, size);
        const Ranges left = find_left_hum(out.uv, trace.halves.hum, known);
        if (left.empty()) break;
        join(found.left_hum, left, size);
        clean_without(left);
    }
    found.loud_uv = loud_level(trace.smoothed);
    side_by_side(
        [&] {
            const auto [all, at_rest] = find_repeating(out.uv, rate, band.low, band.high, loud_parts(trace.powers, found.rest_uv, size));
            found.repeating = all, found.repeating_at_rest = at_rest;
        },
        [&] {
            out.bandwidth_hz = statistical_bandwidth_hz(trace.halves.spectrum);
            found.broadband = find_broadband({trace.halves, band.low, band.high});
            const std::vector<HalfSecond> loud = loud_ones(trace.halves, found.loud_uv);
            found.peakedness = peakedness(out.uv, loud, trace.halves.samples);
            found.one_line = share_of_one_line(loud);
        });
    found.pulses = find_pulse_train(found.spikes, rate);
    out.quality.mains = found.mains.hum;
}

void mask_envelope(CleanRecording& out, const Channel& channel, const CleanSettings& settings, Found& found) {
    out.uv = channel.samples;
    mask(out.uv, found.missing);
    mask(out.uv, as_ranges(settings.mask, channel.rate, channel.samples.size()));
    found.step_uv = step_of(out.uv, channel);
    found.stuck.contact_lost = find_lost_amplitude(out.uv, channel.rate, found.step_uv);
    mask(out.uv, found.stuck.contact_lost);
    const std::vector<float> powers = half_second_powers(short_powers(out.uv, channel.rate));
    found.rest_uv = resting_level(powers);
    found.loud_uv = loud_level(powers);
    found.near_zero = share_near_zero(out.uv, channel.rate, found.loud_uv);
}

void take_stock(CleanRecording& out, Found& found) {
    const Ranges lost = missing_runs(out.uv);
    out.masked = as_times(lost, out.rate);
    out.clipped = as_times(found.stuck.clipped, out.rate);
    out.quality.masked_s = seconds_in(lost, out.rate);
    found.least_uv = smallest_uv(out.low_hz, out.high_hz);
    found.duration_s = time_of(out.uv.size(), out.rate);
    found.valid_s = found.duration_s - out.quality.masked_s;
    found.lost_share = found.duration_s > 0.0 ? out.quality.masked_s / found.duration_s : 1.0;
    if (found.valid_s > 0.0) found.no_rest = why_no_rest(found, out.kind, out.low_hz, out.high_hz);
}

}  // namespace

std::string_view to_string(Severity severity) {
    switch (severity) {
        case Severity::note: return "note";
        case Severity::caution: return "caution";
        case Severity::reject: return "reject";
    }
    return "";
}

bool has_finding(const Quality& quality, std::string_view code) {
    return std::any_of(quality.findings.begin(), quality.findings.end(), [&](const Finding& finding) { return finding.code == code; });
}

void add_doubts(std::span<const Note> notes, Quality& quality) {
    for (const Note& note : notes) {
        if (note.doubt) quality.findings.push_back({note.code, Severity::caution, note.text, {}});
    }
}

CleanRecording clean_recording(const Recording& recording, std::size_t channel_number, const CleanSettings& settings) {
    const Channel& channel = channel_of(recording, channel_number);
    CleanRecording out;
    out.label = channel.label;
    out.rate = channel.rate;
    out.kind = channel.kind;
    Found found;
    found.missing = not_finite(channel.samples);
    if (channel.kind == ChannelKind::raw) {
        clean_raw(out, channel, settings, found);
    } else {
        mask_envelope(out, channel, settings, found);
    }
    take_stock(out, found);
    out.quality.findings = put_into_words(channel, found, settings);
    add_doubts(recording.notes, out.quality);
    add_doubts(channel.doubts, out.quality);
    out.quality.usable = std::none_of(out.quality.findings.begin(), out.quality.findings.end(), [](const Finding& f) {
        return f.severity == Severity::reject && f.spans.empty();
    });
    return out;
}

}  // namespace tracehold
