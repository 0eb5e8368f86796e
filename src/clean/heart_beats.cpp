// The times come from beat_times at 5 ms. Here they are sharpened and the average beat is learned at the full rate:
// beats in quiet stretches weigh more (1 / power around them), each is moved by up to 8 ms to where it fits the average
// best, and the average is taken again. A beat is subtracted with a scale of its own, drawn towards 1 as far as muscle
// hides it.
#include "clean/heart_beats.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "clean/beat_times.hpp"
#include "clean/frames.hpp"

namespace tracehold {
namespace {

constexpr double kBefore_s = 0.20, kAfter_s = 0.34;  // P wave to T wave of a beat, as far as the band-pass leaves them
constexpr double kEdge_s = 0.04;                     // the ends of the shape fade to 0
constexpr double kSharpen_s = 0.008;
constexpr double kOwnScale = 0.1;  // standard deviation of a beat's size about the average; breathing gives about that

struct Beat {
    std::size_t at = 0;  // sample
    double power = 0.0;  // µV^2 around it, typical
};

struct Shape {
    std::vector<double> uv;
    std::size_t before = 0;
};

double fade(std::size_t k, std::size_t size, double edge) {
    const double inside = static_cast<double>(std::min(k, size - 1 - k));
    return inside >= edge ? 1.0 : 0.5 - 0.5 * std::cos(std::numbers::pi * inside / edge);
}

// Masked samples are left out, place by place.
Shape average(std::span<const float> uv, Hertz rate, std::span<const Beat> beats) {
    Shape shape;
    shape.before = static_cast<std::size_t>(kBefore_s * rate.value);
    shape.uv.assign(shape.before + static_cast<std::size_t>(kAfter_s * rate.value), 0.0);
    std::vector<double> weights(shape.uv.size());
    for (const Beat& beat : beats) {
        for (std::size_t k = 0; k < shape.uv.size(); ++k) {
            const std::size_t place = beat.at + k;
            if (place < shape.before || place - shape.before >= uv.size() || std::isnan(uv[place - shape.before]))
                continue;
            shape.uv[k] += uv[place - shape.before] / beat.power;
            weights[k] += 1.0 / beat.power;
        }
    }
    for (std::size_t k = 0; k < shape.uv.size(); ++k) {
        shape.uv[k] =
            weights[k] > 0.0 ? shape.uv[k] / weights[k] * fade(k, shape.uv.size(), kEdge_s * rate.value) : 0.0;
    }
    return shape;
}

struct Overlap {
    double product = 0.0;  // of trace and shape
    double energy = 0.0;   // of the shape, where the trace is valid
};

Overlap overlap(std::span<const float> uv, const Shape& shape, std::size_t at) {
    Overlap out;
    for (std::size_t k = 0; k < shape.uv.size(); ++k) {
        const std::size_t place = at + k;
        if (place < shape.before || place - shape.before >= uv.size()) continue;
        const float v = uv[place - shape.before];
        if (std::isnan(v)) continue;
        out.product += v * shape.uv[k];
        out.energy += shape.uv[k] * shape.uv[k];
    }
    return out;
}

void sharpen(std::span<const float> uv, Hertz rate, const Shape& shape, std::vector<Beat>& beats) {
    const auto reach = static_cast<std::size_t>(std::lround(kSharpen_s * rate.value));
    for (Beat& beat : beats) {
        double most = -INFINITY;
        std::size_t best = beat.at;
        for (std::size_t at = beat.at - std::min(beat.at, reach); at <= beat.at + reach; ++at) {
            const double product = overlap(uv, shape, at).product;
            if (product <= most) continue;
            most = product;
            best = at;
        }
        beat.at = best;
    }
}

// The scale that fits best, drawn towards 1: muscle of the given power adds power / (2 x bandwidth x energy) to its
// variance. The bandwidth of muscle is about 100 Hz; a factor of two either way does not matter.
double scale_of(const Overlap& o, double power, Hertz rate) {
    constexpr double kMuscle_hz = 100.0;
    if (!(o.energy > 0.0)) return 0.0;
    const double variance = power * rate.value / (2.0 * kMuscle_hz * o.energy);
    const double trust = kOwnScale * kOwnScale / (kOwnScale * kOwnScale + variance);
    return std::clamp(1.0 + trust * (o.product / o.energy - 1.0), 0.0, 3.0);
}

std::vector<Beat> beats_of(const Frames& slow, std::span<const std::size_t> frames) {
    std::vector<Beat> out;
    for (const std::size_t frame : frames) {
        const double scale = usual_size_at(slow, frame);
        out.push_back({frame * slow.samples + slow.samples / 2, std::max(1e-6, scale * scale)});
    }
    return out;
}

double median_interval_s(std::span<const Beat> beats, Hertz rate) {
    std::vector<float> intervals;
    for (std::size_t i = 1; i < beats.size(); ++i)
        intervals.push_back(static_cast<float>(time_of(beats[i].at - beats[i - 1].at, rate)));
    return valid_quantile(intervals, 0.5);
}

}  // namespace

HeartBeats find_heart_beats(std::span<const float> uv, Hertz rate) {
    Frames slow = slow_frames(uv, rate);
    std::vector<Beat> beats = beats_of(slow, beat_frames(slow));
    HeartBeats out;
    if (beats.size() < kFewestBeats) {
        out.slow = std::move(slow);
        return out;
    }
    Shape shape = average(uv, rate, beats);
    for (int pass = 0; pass < 2; ++pass) {
        sharpen(uv, rate, shape, beats);
        shape = average(uv, rate, beats);
    }
    for (const Beat& beat : beats) out.times_s.push_back(time_of(beat.at, rate));
    const double interval_s = median_interval_s(beats, rate);
    out.per_minute = interval_s > 0.0 ? 60.0 / interval_s : 0.0;
    for (const double v : shape.uv) out.peak_uv = std::max(out.peak_uv, std::abs(v));
    out.cost_share =
        std::min(1.0, (kBefore_s + kAfter_s) / std::max(interval_s, 1e-3)) / static_cast<double>(beats.size());
    out.shape_uv = std::move(shape.uv);
    out.shape_before = shape.before;
    return out;
}

void remove_heart_beats(std::span<float> uv, Hertz rate, const HeartBeats& beats) {
    const Shape shape{beats.shape_uv, beats.shape_before};
    for (const double time_s : beats.times_s) {
        const auto at = static_cast<std::size_t>(std::llround(time_s * rate.value));
        const std::size_t begin = at - std::min(at, shape.before),
                          end = std::min(at + shape.uv.size() - shape.before, uv.size());
        double power = 0.0;
        for (std::size_t i = begin; i < end; ++i) power += std::isnan(uv[i]) ? 0.0 : static_cast<double>(uv[i]) * uv[i];
        power /= static_cast<double>(std::max<std::size_t>(1, end - begin));
        const double scale = scale_of(overlap(uv, shape, at), power, rate);
        for (std::size_t i = begin; i < end; ++i) uv[i] -= static_cast<float>(scale * shape.uv[i + shape.before - at]);
    }
}

}  // namespace tracehold
