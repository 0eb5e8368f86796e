// Idea: surface EMG is noise with a smooth spectrum, and noise forgets: at a lag of 0.1 s and more it no longer
// resembles itself, nor do motor units, whose intervals vary by 10 % and more. A tone of any frequency and pulses of
// any steady rate from 7 Hz do, at every multiple of their period, and one of those lies in the lags looked at. The
// autocorrelation there is the share of the power that repeats. It is the transform of Welch's spectrum; the Hann
// window shortens it by its own, (2 + cos 2 pi lag / T) / 3. Limits: pulses that are jittered by more than a quarter of
// their own length, tones that drift by more than 3 Hz within a second. Source: our derivation; autocorrelation of
// narrow-band noise: Bendat & Piersol, Random Data (from memory).
#include "clean/repeating.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "clean/frames.hpp"
#include "tracehold/clean/welch.hpp"
#include "tracehold/core/side_by_side.hpp"
#include "tracehold/core/wide_lanes.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

constexpr double kSegment_s = 1.0;
constexpr double kFirstLag_s = 0.1, kLastLag_s = 0.25;
constexpr double kLagsPerPeriod = 10.0;  // of the highest frequency: the best lag is missed by 5 % at most
constexpr double kFrame_s = 0.01, kHalf_s = 0.25;
constexpr double kLeast_s = 8.0;      // of signal: with less, chance repeats
constexpr double kMuscleBand = 0.33;  // of the band: the equivalent bandwidth of muscle in it
constexpr double kChance = 4.0;       // SD of the autocorrelation of noise; the largest of 50 lags reaches 3.3
constexpr double kQuiet = 2.0;        // times the resting level
constexpr std::size_t kLeastPulses = 20;
constexpr std::size_t kFewestShares = 10;

// Seconds of noise of one level that would tell as much: loud parts count by their power.
double equal_seconds(const Frames& powers) {
    double sum = 0.0, squares = 0.0;
    for (const float p : powers.value) {
        if (std::isnan(p)) continue;
        sum += static_cast<double>(p);
        squares += static_cast<double>(p) * static_cast<double>(p);
    }
    return squares > 0.0 ? sum * sum / squares / powers.rate.value : 0.0;
}

// Four bins of a spectrum: their power, where they stand on the circle, and how far they turn from one lag to the next.
struct TurningBins {
    FourDoubles power{}, cosine{}, sine{}, step_cosine{}, step_sine{};
};

// The transform of a spectrum at one lag after another, a step apart. A thousand turns leave errors of some 1e-13.
class LagTransform {
public:
    LagTransform(std::span<const double> power, double step_hz, double first_s, double step_s) : bins_((power.size() + 3) / 4) {
        for (std::size_t k = 0; k < power.size(); ++k) {
            const double turn = 2.0 * std::numbers::pi * static_cast<double>(k) * step_hz;
            TurningBins& four = bins_[k / 4];
            four.power[k % 4] = power[k];
            four.cosine[k % 4] = std::cos(turn * first_s), four.sine[k % 4] = std::sin(turn * first_s);
            four.step_cosine[k % 4] = std::cos(turn * step_s), four.step_sine[k % 4] = std::sin(turn * step_s);
        }
    }

    // At this lag; goes on to the next.
    TRACEHOLD_WIDE double next() {
        FourDoubles sums{};
        for (TurningBins& four : bins_) {
            sums += four.power * four.cosine;
            const FourDoubles cosine = four.cosine * four.step_cosine - four.sine * four.step_sine;
            four.sine = four.sine * four.step_cosine + four.cosine * four.step_sine;
            four.cosine = cosine;
        }
        return (sums[0] + sums[1]) + (sums[2] + sums[3]);
    }

private:
    std::vector<TurningBins> bins_;
};

double window_at(double lag_s) { return (2.0 + std::cos(2.0 * std::numbers::pi * lag_s / kSegment_s)) / 3.0; }

// In that spectrum, of as many seconds.
Repeating repeating_in(const PowerSpectrum& spectrum, double seconds, Hertz low, Hertz high) {
    Repeating out;
    double total = 0.0;
    for (const double p : spectrum.uv2_per_hz) total += p;
    if (seconds < kLeast_s || !(total > 0.0)) return out;
    const double step_s = 1.0 / (kLagsPerPeriod * high.value);
    LagTransform transform(spectrum.uv2_per_hz, spectrum.step_hz, kFirstLag_s, step_s);
    for (double lag_s = kFirstLag_s; lag_s < kLastLag_s; lag_s += step_s)
        out.share = std::max(out.share, transform.next() / total / window_at(lag_s));
    out.share = std::min(out.share, 1.0);
    const double chance = kChance / std::sqrt(2.0 * kMuscleBand * (high.value - low.value) * seconds);
    out.sure = std::max(0.0, out.share - chance);
    const auto highest = std::max_element(spectrum.uv2_per_hz.begin(), spectrum.uv2_per_hz.end());
    out.hz = static_cast<double>(highest - spectrum.uv2_per_hz.begin()) * spectrum.step_hz;
    return out;
}

// The mean over the segments of both.
PowerSpectrum together(PowerSpectrum a, const PowerSpectrum& b) {
    if (a.segments == 0) return b;
    const auto of_a = static_cast<double>(a.segments), of_b = static_cast<double>(b.segments);
    for (std::size_t k = 0; k < b.uv2_per_hz.size(); ++k) a.uv2_per_hz[k] = (of_a * a.uv2_per_hz[k] + of_b * b.uv2_per_hz[k]) / (of_a + of_b);
    a.segments += b.segments;
    return a;
}

}  // namespace

Ranges loud_parts(const Frames& powers, double rest_uv, std::size_t size) {
    const std::vector<float> level = smoothed(powers.value, static_cast<std::size_t>(std::lround(kHalf_s / kFrame_s)));
    const auto is_loud = [&](std::size_t k) { return !(static_cast<double>(level[k]) <= kQuiet * kQuiet * rest_uv * rest_uv); };
    Ranges out;
    for (const SampleRange run : ranges_where(level.size(), is_loud)) out.push_back(powers.range(run.begin, run.end, size));
    return out;
}

RepeatingParts find_repeating(std::span<const float> uv, Hertz rate, Hertz low, Hertz high, const Ranges& loud) {
    const double seconds = equal_seconds(frame_powers(uv, rate, Seconds{kHalf_s}));
    const double seconds_at_rest = equal_seconds(frame_powers(uv, rate, Seconds{kHalf_s}, loud));
    if (seconds < kLeast_s && seconds_at_rest < kLeast_s) return {};
    const auto size = static_cast<std::size_t>(std::lround(kSegment_s * rate.value));
    std::vector<std::size_t> quiet, others;
    auto next_loud = loud.begin();
    for (const std::size_t begin : valid_segments(uv, size)) {
        next_loud = std::find_if(next_loud, loud.end(), [begin](SampleRange range) { return range.end > begin; });
        (next_loud == loud.end() || next_loud->begin >= begin + size ? quiet : others).push_back(begin);
    }
    PowerSpectrum at_rest, elsewhere;
    side_by_side([&] { at_rest = mean_spectrum(uv, rate, quiet, size); }, [&] { elsewhere = mean_spectrum(uv, rate, others, size); });
    RepeatingParts out;
    side_by_side([&] { out.all = repeating_in(together(at_rest, elsewhere), seconds, low, high); },
                 [&] { out.at_rest = repeating_in(at_rest, seconds_at_rest, low, high); });
    return out;
}

double share_of_one_line(std::span<const HalfSecond> loud) {
    std::vector<double> shares;
    for (const HalfSecond& half : loud) shares.push_back(half.line);
    return shares.size() < kFewestShares ? 0.0 : median(shares);
}

PulseTrain find_pulse_train(const Ranges& spikes, Hertz rate, double same_gap) {
    std::vector<double> gaps_s;
    for (std::size_t i = 1; i < spikes.size(); ++i)
        gaps_s.push_back(time_of(spikes[i].begin - spikes[i - 1].begin, rate));
    if (gaps_s.size() < kLeastPulses) return {};
    const double usual_s = median(gaps_s);
    const double slack_s = same_gap * usual_s + time_of(2, rate);
    const auto usual =
        std::count_if(gaps_s.begin(), gaps_s.end(), [&](double gap_s) { return std::abs(gap_s - usual_s) <= slack_s; });
    if (2 * static_cast<std::size_t>(usual) < gaps_s.size()) return {};
    return {1.0 / usual_s, usual_s * static_cast<double>(usual)};
}

}  // namespace tracehold
