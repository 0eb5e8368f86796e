// 1. Candidates: peaks of the slow trace above four times its usual size, the highest within 0.3 s.
// 2. Shape: the candidate that most others resemble, averaged with those, twice.
// 3. Match: the slow trace against that shape; beats are its peaks above four times its usual size.
// 4. They are a heart only if most intervals are alike, nothing of that shape stands between them (a motor unit fires
// faster), and the
//    trace is quiet again a tenth of a second away (a quick contraction lasts longer).
// 5. Where a contraction hides beats, the best match around the time that the interval foretells is taken. If it is
// wrong, it is so
//    only where muscle is far stronger than the heart, and a beat more or less there does not matter.
#include "clean/beat_times.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <optional>

#include "tracehold/clean/butterworth.hpp"
#include "tracehold/clean/zero_phase.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {
namespace {

constexpr Seconds kFrame{0.005};
constexpr Hertz kHighest{40.0};
constexpr double kScaleHalf_s = 0.5, kScaleStep_s = 0.1;
constexpr double kCandidate = 4.0;    // Gaussian noise of this band gets there once in five minutes
constexpr double kApart_s = 0.3;      // half of this either way; 180 a minute is 0.33 s
constexpr double kShortest_s = 0.33, kLongest_s = 1.8;
constexpr double kShapeHalf_s = 0.08;  // a QRS complex lasts up to 0.12 s
constexpr double kAlike = 0.7;         // correlation
constexpr double kRegular = 0.5;       // share of intervals within a fifth of their median; random times reach 0.14
constexpr double kIntervalSpread = 0.2;
constexpr double kBetween = 0.6;  // of a beat: the highest match allowed between beats, as a median
constexpr double kBeside = 2.0;   // usual sizes
constexpr double kReach = 0.15;   // of an interval: how far a beat may stand from where it is due
constexpr std::size_t kMostPatterns = 60;

// The stretch that the usual size of the frames [begin, begin + step) is taken from: half a second either way.
struct Nearby {
    std::size_t step, half;
    explicit Nearby(Hertz frame_rate)
        : step(static_cast<std::size_t>(std::max(1.0, kScaleStep_s * frame_rate.value))),
          half(static_cast<std::size_t>(kScaleHalf_s * frame_rate.value)) {}

    std::span<const float> around(std::span<const float> values, std::size_t begin) const {
        const std::size_t centre = begin + step / 2, first = centre - std::min(centre, half);
        return values.subspan(first, std::min(centre + half, values.size()) - first);
    }
};

// The standard deviation of a stretch by the median of its sizes. Beats fill less than a third of a second, so they do
// not count; the rest beside a contraction is measured by itself.
float scale_of(std::span<const float> stretch) {
    std::vector<float> sizes;
    sizes.reserve(stretch.size());
    for (const float v : stretch) sizes.push_back(std::abs(v));
    return static_cast<float>(kGaussian * valid_quantile(sizes, 0.5));
}

std::size_t in_frames(double s, const Frames& frames) {
    return static_cast<std::size_t>(std::lround(s * frames.rate.value));
}

// Frames where `height` is above `limit` times the usual size of `values` and nothing higher stands within `apart`. The
// usual size is looked for only where something may stand above it.
template <class Height>
std::vector<std::size_t> peaks(const Frames& frames, std::span<const float> values, double limit, Height height) {
    constexpr float kSafely = 1.001F;  // beyond all rounding
    const std::size_t apart = in_frames(kApart_s, frames);
    const Nearby nearby(frames.rate);
    std::vector<std::size_t> out;
    for (std::size_t begin = 0; begin < values.size(); begin += nearby.step) {
        const auto stretch = nearby.around(values, begin);
        const auto own = values.subspan(begin, std::min(nearby.step, values.size() - begin));
        if (median_size_reaches(stretch, kSafely * largest_size(own) / static_cast<float>(limit * kGaussian))) continue;
        const float scale = scale_of(stretch);
        for (std::size_t i = begin; i < begin + own.size(); ++i) {
            const float h = height(i);
            if (std::isnan(h) || !(h > static_cast<float>(limit) * scale) || !(scale > 0.0F)) continue;
            if (!out.empty() && i - out.back() < apart) {
                if (h > height(out.back())) out.back() = i;
                continue;
            }
            out.push_back(i);
        }
    }
    return out;
}

// Correlation of the trace around `at` with a shape of odd length; NaN-free stretches only, else 0.
double likeness(std::span<const float> values, std::size_t at, std::span<const float> shape) {
    const std::size_t half = shape.size() / 2;
    if (at < half || at + half >= values.size()) return 0.0;
    double product = 0.0, a = 0.0, b = 0.0;
    for (std::size_t k = 0; k < shape.size(); ++k) {
        const double v = values[at - half + k];
        if (std::isnan(v)) return 0.0;
        product += v * shape[k];
        a += v * v;
        b += static_cast<double>(shape[k]) * shape[k];
    }
    return a > 0.0 && b > 0.0 ? product / std::sqrt(a * b) : 0.0;
}

struct Fit {
    std::size_t at = 0;
    double likeness = 0.0;
};

Fit best_fit(std::span<const float> values, std::size_t at, std::span<const float> shape, std::size_t reach) {
    Fit best;
    for (std::size_t k = at - std::min(at, reach); k <= at + reach; ++k) {
        const double l = likeness(values, k, shape);
        if (l > best.likeness) best = {k, l};
    }
    return best;
}

std::vector<float> around(std::span<const float> values, std::size_t at, std::size_t half) {
    return {values.begin() + static_cast<std::ptrdiff_t>(at - half),
            values.begin() + static_cast<std::ptrdiff_t>(at + half + 1)};
}

std::vector<float> average_of_alike(std::span<const float> values, std::span<const std::size_t> candidates,
                                    std::span<const float> shape, std::size_t reach) {
    std::vector<double> sum(shape.size());
    std::size_t count = 0;
    for (const std::size_t candidate : candidates) {
        const Fit fit = best_fit(values, candidate, shape, reach);
        if (fit.likeness < kAlike) continue;
        for (std::size_t k = 0; k < sum.size(); ++k) sum[k] += values[fit.at - shape.size() / 2 + k];
        ++count;
    }
    if (count < kFewestBeats) return {};
    std::vector<float> out;
    for (const double s : sum) out.push_back(static_cast<float>(s / static_cast<double>(count)));
    return out;
}

// Empty where fewer than ten candidates look alike.
std::vector<float> common_shape(const Frames& slow, std::span<const std::size_t> candidates) {
    const std::span<const float> values = slow.value;
    const std::size_t half = in_frames(kShapeHalf_s, slow), reach = half / 2;
    std::vector<float> best;
    std::size_t most = 0;
    const std::size_t stride = std::max<std::size_t>(1, candidates.size() / kMostPatterns);
    for (std::size_t p = 0; p < candidates.size(); p += stride) {
        if (candidates[p] < half || candidates[p] + half >= values.size()) continue;
        const auto pattern = around(values, candidates[p], half);
        std::size_t alike = 0;
        for (std::size_t c = 0; c < candidates.size(); c += stride) {
            if (best_fit(values, candidates[c], pattern, reach).likeness > kAlike) ++alike;
        }
        if (alike <= most) continue;
        most = alike;
        best = pattern;
    }
    for (int pass = 0; pass < 2 && !best.empty(); ++pass) best = average_of_alike(values, candidates, best, reach);
    return best;
}

// NaN where the stretch holds a masked frame. In: no longer than values.
TRACEHOLD_WIDE std::vector<float> matched(std::span<const float> values, std::span<const float> shape) {
    const std::size_t half = shape.size() / 2, end = values.size() - half;
    std::vector<float> out(values.size(), std::nanf(""));
    std::size_t i = half;
    for (; i + 4 <= end; i += 4) {
        FourDoubles sums{};
        for (std::size_t k = 0; k < shape.size(); ++k) {
            const float* const v = &values[i - half + k];
            sums += FourDoubles{v[0], v[1], v[2], v[3]} * static_cast<double>(shape[k]);
        }
        for (std::size_t j = 0; j < 4; ++j) out[i + j] = static_cast<float>(sums[j]);
    }
    for (; i < end; ++i) {
        double sum = 0.0;
        for (std::size_t k = 0; k < shape.size(); ++k) sum += static_cast<double>(values[i - half + k]) * shape[k];
        out[i] = static_cast<float>(sum);
    }
    return out;
}

// In frames; 0 where the intervals are not those of a heart.
double regular_interval(std::span<const std::size_t> beats, const Frames& frames) {
    std::vector<float> intervals;
    for (std::size_t i = 1; i < beats.size(); ++i) {
        const auto interval = static_cast<float>(beats[i] - beats[i - 1]);
        if (interval >= kShortest_s * frames.rate.value && interval <= kLongest_s * frames.rate.value)
            intervals.push_back(interval);
    }
    if (intervals.size() < kFewestBeats) return 0.0;
    const double middle = valid_quantile(intervals, 0.5);
    const auto alike = std::count_if(intervals.begin(), intervals.end(),
                                     [&](float v) { return std::abs(v - middle) <= kIntervalSpread * middle; });
    return static_cast<double>(alike) >= kRegular * static_cast<double>(beats.size() - 1) ? middle : 0.0;
}

// The median over beats of the highest match in the middle of the interval that follows, as a share of the beat's own.
double between_beats(std::span<const float> match, std::span<const std::size_t> beats, double interval) {
    std::vector<float> shares;
    for (const std::size_t beat : beats) {
        const auto begin = beat + static_cast<std::size_t>(0.3 * interval),
                   end = beat + static_cast<std::size_t>(0.7 * interval);
        if (end >= match.size()) continue;
        float highest = 0.0F;
        for (std::size_t i = begin; i < end; ++i) highest = std::max(highest, std::isnan(match[i]) ? 0.0F : match[i]);
        shares.push_back(highest / match[beat]);
    }
    return valid_quantile(shares, 0.5);
}

// The size of the slow trace from 0.1 to 0.2 s before and after a beat, in usual sizes; the median over beats. About 1
// for a heart, which is over in 0.1 s; far more for a quick contraction, which is not, though contractions may come at
// a heart's pace.
double beside_beats(const Frames& slow, std::span<const std::size_t> beats) {
    const std::size_t near = in_frames(0.1, slow), far = in_frames(0.2, slow);
    std::vector<float> ratios;
    for (const std::size_t beat : beats) {
        double power = 0.0, count = 0.0;
        for (std::size_t i = beat - std::min(beat, far); i < std::min(beat + far + 1, slow.value.size()); ++i) {
            if ((i + near > beat && i < beat + near) || std::isnan(slow.value[i])) continue;
            power += static_cast<double>(slow.value[i]) * slow.value[i];
            count += 1.0;
        }
        if (count > 0.0) ratios.push_back(static_cast<float>(std::sqrt(power / count) / usual_size_at(slow, beat)));
    }
    return valid_quantile(ratios, 0.5);
}

// The best match within reach of the time that a beat is due; empty where that is masked.
std::optional<std::size_t> best_near(std::span<const float> match, std::size_t due, std::size_t reach) {
    std::optional<std::size_t> best;
    for (std::size_t i = due - std::min(due, reach); i < std::min(due + reach + 1, match.size()); ++i) {
        if (!std::isnan(match[i]) && match[i] > (best ? match[*best] : 0.0F)) best = i;
    }
    return best;
}

// The beats between two known ones and after the last.
std::vector<std::size_t> with_hidden(std::span<const std::size_t> beats, std::span<const float> match,
                                     double interval) {
    std::vector<std::size_t> out;
    const auto reach = static_cast<std::size_t>(kReach * interval);
    for (std::size_t i = 0; i < beats.size(); ++i) {
        out.push_back(beats[i]);
        const bool last = i + 1 == beats.size();
        const auto gap = static_cast<double>((last ? match.size() : beats[i + 1]) - beats[i]);
        const double step = last ? interval : gap / std::max(1.0, std::round(gap / interval));
        const double end = static_cast<double>(beats[i]) + gap - (last ? 0.0 : 0.5 * step);
        for (double due = static_cast<double>(beats[i]) + step; due < end; due += step) {
            const auto found = best_near(match, static_cast<std::size_t>(due), reach);
            if (!found) continue;
            out.push_back(*found);
            due = static_cast<double>(*found);
        }
    }
    return out;
}

std::vector<std::size_t> from_the_end(std::vector<std::size_t> places, std::size_t size) {
    for (std::size_t& place : places) place = size - 1 - place;
    std::reverse(places.begin(), places.end());
    return places;
}

// Beats before the first known one: those after the last, seen from the end.
std::vector<std::size_t> with_first(std::vector<std::size_t> beats, std::vector<float> match, double interval) {
    std::reverse(match.begin(), match.end());
    const auto mirrored = from_the_end(std::move(beats), match.size());
    const std::size_t last = mirrored.back();
    std::vector<std::size_t> out(mirrored.begin(), mirrored.end() - 1);
    const auto more = with_hidden(std::span(&last, 1), match, interval);
    out.insert(out.end(), more.begin(), more.end());
    return from_the_end(std::move(out), match.size());
}

}  // namespace

Frames slow_frames(std::span<const float> uv, Hertz rate) {
    Frames frames = frame_means(uv, rate, kFrame);
    if (frames.rate.value <= 2.5 * kHighest.value) return frames;
    const auto sections = butterworth_low_pass(4, kHighest, frames.rate);
    for (const SampleRange run : valid_runs(frames.value)) {
        run_zero_phase(sections, std::span(frames.value).subspan(run.begin, run.size()));
    }
    return frames;
}

float usual_size_at(const Frames& slow, std::size_t frame) {
    const Nearby nearby(slow.rate);
    return scale_of(nearby.around(slow.value, frame / nearby.step * nearby.step));
}

std::vector<std::size_t> beat_frames(const Frames& slow) {
    const std::span<const float> values = slow.value;
    const auto candidates = peaks(slow, values, kCandidate, [&](std::size_t i) { return std::abs(values[i]); });
    if (candidates.size() < kFewestBeats) return {};
    const auto shape = common_shape(slow, candidates);
    if (shape.empty()) return {};
    const auto match = matched(values, shape);
    const auto beats = peaks(slow, match, kCandidate, [&](std::size_t i) { return match[i]; });
    const double interval = regular_interval(beats, slow);
    if (interval <= 0.0 || between_beats(match, beats, interval) > kBetween || beside_beats(slow, beats) > kBeside)
        return {};
    return with_first(with_hidden(beats, match, interval), match, interval);
}

}  // namespace tracehold
