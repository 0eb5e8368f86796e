// Between 1 and 15 Hz muscle has a few hundredths of its power; a moved electrode has most of it there and spills over
// into the band of muscle. Slow waves count as movement where they exceed, in peak, a multiple of the RMS of the muscle
// above 40 Hz around them (3.5 at rest, less at work), eight times the usual size of slow waves in the recording, and 4
// µV. On limb recordings with real movements (open data) all but obvious movement stays below 3.1 times. Movement may
// also sit between 20 and 40 Hz alone; there real contractions reach 4 times the RMS above 40 Hz, and 5 times counts.
// Slow waves of the heart are averaged over the beats and taken away first.
#include "clean/motion.hpp"

#include <algorithm>
#include <cmath>

#include "clean/beat_times.hpp"
#include "clean/frames.hpp"
#include "tracehold/clean/butterworth.hpp"
#include "tracehold/clean/zero_phase.hpp"
#include "tracehold/core/many_values.hpp"
#include "tracehold/core/side_by_side.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {
namespace {

constexpr Seconds kMotionFrame{0.01};
constexpr Hertz kSlowLow{1.0}, kSlowHigh{15.0}, kMuscleLow{40.0};
constexpr double kAboveMuscle = 3.5;  // while muscle rests, where small movements are common ...
constexpr double kAboveWork =
    1.5;  // ... and of what exceeds three times its rest: in contractions muscle alone stays below 0.8
constexpr double kFastAboveMuscle = 5.0;  // 20 to 40 Hz, rest and work alike
constexpr double kAboveUsualSize = 8.0;
constexpr double kLeastMotion_uv = 4.0;  // below it a burst adds less than 5 % to a rest of 2 µV; our choice
constexpr double kEndShare = 0.5;  // the mask reaches out to where waves are below this share of the limit
constexpr double kMuscleHalf_s = 0.15;
constexpr float kLeastMuscle = 0.5F;  // of the time around that is valid; beside a gap it is half
constexpr double kWaveHalf_s = 0.06;  // half a period of the slow waves: their height between zero crossings
constexpr double kMuscleReach_s = 0.1;
constexpr double kMotionMargin_s = 0.1;
constexpr double kCutWave_s = 0.5;  // of the recording: waves cut in two there cannot be told from movement
constexpr double kBridged_s = 0.1;
constexpr double kBeatBefore_s = 0.3, kBeatAfter_s = 0.45;

void filter_runs(std::span<const FilterSection> sections, std::span<float> values) {
    for (const SampleRange run : valid_runs(values)) run_zero_phase(sections, values.subspan(run.begin, run.size()));
}

// Straight lines over short gaps: a masked spike must not cut a slow wave in two.
void bridge(std::vector<float>& values, std::size_t longest) {
    for (const SampleRange gap : ranges_where(values.size(), [&](std::size_t i) { return std::isnan(values[i]); })) {
        if (gap.begin == 0 || gap.end == values.size() || gap.size() > longest) continue;
        const float from = values[gap.begin - 1], to = values[gap.end];
        for (std::size_t i = gap.begin; i < gap.end; ++i) {
            values[i] = from + (to - from) * static_cast<float>(i + 1 - gap.begin) / static_cast<float>(gap.size() + 1);
        }
    }
}

// RMS above 40 Hz, frame by frame, over 0.3 s; NaN where less than half of that is valid, as between samples that are missing here and
// there. Filtered in pieces of about a minute: the seams do not matter here.
std::vector<float> muscle(std::span<const float> uv, Hertz rate) {
    const auto sections = butterworth_high_pass(4, kMuscleLow, rate);
    const std::size_t frame =
        std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(rate.value * kMotionFrame.value)));
    const std::size_t piece = 6000 * frame;
    std::vector<float> powers((uv.size() + frame - 1) / frame);
    each_side_by_side((uv.size() + piece - 1) / piece, [&](std::size_t i) {
        const auto part = uv.subspan(i * piece, std::min(piece, uv.size() - i * piece));
        std::vector<float> copy(part.begin(), part.end());
        filter_runs(sections, copy);
        const Frames frames = frame_powers(copy, rate, kMotionFrame);
        std::copy(frames.value.begin(), frames.value.end(), powers.begin() + static_cast<std::ptrdiff_t>(i * piece / frame));
    });
    const auto half = static_cast<std::size_t>(std::lround(kMuscleHalf_s * rate.value / static_cast<double>(frame)));
    auto out = smoothed(powers, half);
    for (float& v : out) v = std::sqrt(std::max(v, 0.0F));  // max keeps a NaN
    if (!any_missing(powers)) return out;
    std::vector<float> valid;
    for (const float v : powers) valid.push_back(std::isnan(v) ? 0.0F : 1.0F);
    valid = smoothed(valid, half);
    for (std::size_t k = 0; k < out.size(); ++k)
        if (valid[k] < kLeastMuscle) out[k] = std::nanf("");
    return out;
}

// Where the slow wave of a beat that covers `size` frames would begin; negative for one that began before the
// recording.
std::vector<std::ptrdiff_t> beat_begins(const HeartBeats& beats, Hertz frame_rate) {
    std::vector<std::ptrdiff_t> out;
    for (const double time_s : beats.times_s) out.push_back(std::lround((time_s - kBeatBefore_s) * frame_rate.value));
    return out;
}

// Takes the usual slow wave of a beat (the median over beats) from each beat. Out: what was taken, frame by frame.
std::vector<float> take_beats(Frames& slow, const HeartBeats& beats) {
    const auto frames = static_cast<std::ptrdiff_t>(slow.value.size());
    const auto begins = beat_begins(beats, slow.rate);
    std::vector<float> taken(slow.value.size(), 0.0F), column;
    const auto size = static_cast<std::ptrdiff_t>((kBeatBefore_s + kBeatAfter_s) * slow.rate.value);
    for (std::ptrdiff_t k = 0; k < size; ++k) {
        column.clear();
        for (const std::ptrdiff_t begin : begins) {
            if (begin + k >= 0 && begin + k < frames) column.push_back(slow.value[static_cast<std::size_t>(begin + k)]);
        }
        const auto wave = static_cast<float>(valid_quantile(column, 0.5));
        for (const std::ptrdiff_t begin : begins) {
            if (begin + k >= 0 && begin + k < frames) taken[static_cast<std::size_t>(begin + k)] += wave;
        }
    }
    for (std::size_t i = 0; i < taken.size(); ++i) slow.value[i] -= taken[i];
    return taken;
}

// most[i] becomes the largest of most[i] and most[i + ahead], for the first `size`.
TRACEHOLD_WIDE void meet_ahead(float* most, std::size_t size, std::size_t ahead) {
    TRACEHOLD_INDEPENDENT
    for (std::size_t i = 0; i < size; ++i) most[i] = most[i + ahead] > most[i] ? most[i + ahead] : most[i];
}

// The largest size within `half` frames on either side. Windows grow to twice their length by meeting their neighbours
// ahead, until two of them cover what is asked for.
std::vector<float> heights(std::span<const float> values, std::size_t half) {
    std::vector<float> most(values.size() + 2 * half, 0.0F);
    for (std::size_t i = 0; i < values.size(); ++i) most[half + i] = std::isnan(values[i]) ? 0.0F : std::abs(values[i]);
    const std::size_t window = 2 * half + 1;
    std::size_t covered = 1;
    for (; 2 * covered <= window; covered *= 2) meet_ahead(most.data(), most.size() - covered, covered);
    if (covered < window) meet_ahead(most.data(), values.size(), window - covered);
    most.resize(values.size());
    return most;
}

// The largest size between 20 and 40 Hz in each frame of `frame_rate`.
std::vector<float> fast_waves(const Frames& fine, Hertz frame_rate, std::size_t size) {
    std::vector<float> out(size, 0.0F);
    for (std::size_t i = 0; i < fine.value.size(); ++i) {
        const auto k = static_cast<std::size_t>(time_of(i, fine.rate) * frame_rate.value + 0.25);
        if (k < size) out[k] = std::max(out[k], std::abs(fine.value[i]));  // NaN is larger than nothing
    }
    return out;
}

double usual_size(std::span<const float> values) {
    std::vector<float> sizes;
    for (const float v : values) sizes.push_back(std::abs(v));
    return 1.4826 * valid_quantile(sizes, 0.5);
}

// Mains leave a wave of two frames; its first and last value would become the pivot about which a run is extended.
void calm_ends(std::span<float> run) {
    if (run.size() < 2) return;
    run.front() = 0.5F * (run[0] + run[1]);
    run.back() = 0.5F * (run[run.size() - 1] + run[run.size() - 2]);
}

}  // namespace

Frames slow_waves(std::span<const float> samples, Hertz rate, const Ranges& masks) {
    Frames frames = frame_means(samples, rate, kMotionFrame, masks);
    if (frames.rate.value < 3 * kSlowHigh.value) return {};
    bridge(frames.value, static_cast<std::size_t>(kBridged_s * frames.rate.value));
    for (const SampleRange run : valid_runs(frames.value))
        calm_ends(std::span(frames.value).subspan(run.begin, run.size()));
    filter_runs(butterworth_low_pass(2, kSlowHigh, frames.rate), frames.value);
    filter_runs(butterworth_high_pass(2, kSlowLow, frames.rate), frames.value);
    return frames;
}

Ranges find_motion(Frames slow, std::span<const float> clean_uv, Hertz rate, const HeartBeats& beats) {
    if (slow.value.empty() || rate.value < 3 * kMuscleLow.value) return {};
    // Waves and muscle of the same tenth of a second: at the edges of a quick contraction neither must outlast the
    // other.
    std::vector<float> level_uv, muscle_uv, height, heart, fast;
    double least = 0.0;
    side_by_side(
        [&] {
            level_uv = muscle(clean_uv, rate);
            muscle_uv = heights(level_uv, static_cast<std::size_t>(std::lround(kMuscleReach_s * slow.rate.value)));
        },
        [&] {
            const auto beat_waves = take_beats(slow, beats);
            const auto reach = static_cast<std::size_t>(std::lround(kWaveHalf_s * slow.rate.value));
            height = heights(slow.value, reach);
            heart = heights(beat_waves, reach + 2);
            least = std::max(kLeastMotion_uv, kAboveUsualSize * usual_size(slow.value));
            const Frames without_beats = beats.slow.value.empty() ? slow_frames(clean_uv, rate) : Frames{};
            const Frames& fine = beats.slow.value.empty() ? without_beats : beats.slow;
            fast = heights(fast_waves(fine, slow.rate, height.size()), reach);
        });
    const double rest = 3.0 * valid_quantile(muscle_uv, 0.1);
    // How many times the limit: of slow waves or of faster ones.
    const auto excess = [&](std::size_t k) {
        if (std::isnan(level_uv[k])) return 0.0;  // masked already, or too much around it
        const double m = muscle_uv[k];
        const double above = kAboveMuscle * std::min(m, rest) + kAboveWork * std::max(m - rest, 0.0);
        const double slow_limit =
            std::max(above, least) + 0.5 * static_cast<double>(heart[k]);  // beats differ from their average
        const double fast_limit = std::max(kFastAboveMuscle * m, kLeastMotion_uv);
        return std::max(static_cast<double>(height[k]) / slow_limit, static_cast<double>(fast[k]) / fast_limit);
    };
    const auto edge = std::min(static_cast<std::size_t>(kCutWave_s * slow.rate.value), height.size() / 2);
    Ranges out;
    for (const SampleRange wide : ranges_where(height.size(), [&](std::size_t k) { return excess(k) > kEndShare; })) {
        bool clear = false;
        for (std::size_t k = std::max(wide.begin, edge); k < std::min(wide.end, height.size() - edge); ++k)
            clear = clear || excess(k) > 1.0;
        if (clear) out.push_back(slow.range(wide.begin, wide.end, clean_uv.size()));
    }
    return widened(std::move(out), static_cast<std::size_t>(kMotionMargin_s * rate.value), clean_uv.size());
}

}  // namespace tracehold
