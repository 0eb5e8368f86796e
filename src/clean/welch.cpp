#include "tracehold/clean/welch.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <unsupported/Eigen/FFT>

namespace tracehold {
namespace {

std::vector<double> hann(std::size_t size) {
    std::vector<double> window(size);
    for (std::size_t i = 0; i < size; ++i) {
        window[i] = 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(size));
    }
    return window;
}

bool all_valid(std::span<const float> uv) {
    return std::none_of(uv.begin(), uv.end(), [](float v) { return std::isnan(v); });
}

void windowed(std::span<const float> uv, std::span<const double> window, std::vector<double>& out) {
    double mean = 0.0;
    for (const float v : uv) mean += v;
    mean /= static_cast<double>(uv.size());
    for (std::size_t i = 0; i < uv.size(); ++i) out[i] = (uv[i] - mean) * window[i];
}

// The share of bin k that lies in [low, high).
double overlap(const PowerSpectrum& spectrum, std::size_t k, Hertz low, Hertz high) {
    const double left = (static_cast<double>(k) - 0.5) * spectrum.step_hz;
    const double inside = std::min(high.value, left + spectrum.step_hz) - std::max(low.value, left);
    return std::clamp(inside / spectrum.step_hz, 0.0, 1.0);
}

}  // namespace

PowerSpectrum welch_spectrum(std::span<const float> uv, Hertz rate, std::size_t segment_samples) {
    PowerSpectrum out;
    out.step_hz = rate.value / static_cast<double>(segment_samples);
    if (segment_samples < 2 || uv.size() < segment_samples) return out;
    const auto window = hann(segment_samples);
    double window_power = 0.0;
    for (const double w : window) window_power += w * w;

    const std::size_t bins = segment_samples / 2 + 1;
    std::vector<double> power(bins), segment(segment_samples);
    std::vector<std::complex<double>> spectrum;
    Eigen::FFT<double> fft;
    fft.SetFlag(Eigen::FFT<double>::HalfSpectrum);
    const std::size_t step = segment_samples - segment_samples / 2;
    for (std::size_t begin = 0; begin + segment_samples <= uv.size(); begin += step) {
        const auto part = uv.subspan(begin, segment_samples);
        if (!all_valid(part)) continue;
        windowed(part, window, segment);
        fft.fwd(spectrum, segment);
        for (std::size_t k = 0; k < bins; ++k) power[k] += std::norm(spectrum[k]);
        ++out.segments;
    }
    if (out.segments == 0) return out;
    const double scale = 1.0 / (static_cast<double>(out.segments) * rate.value * window_power);
    for (std::size_t k = 0; k < bins; ++k) {
        const bool alone = k == 0 || 2 * k == segment_samples;  // no mirror image
        power[k] *= alone ? scale : 2.0 * scale;
    }
    out.uv2_per_hz = std::move(power);
    return out;
}

std::optional<double> median_frequency_hz(const PowerSpectrum& spectrum, Hertz low, Hertz high) {
    double total = 0.0;
    for (std::size_t k = 0; k < spectrum.uv2_per_hz.size(); ++k) {
        total += spectrum.uv2_per_hz[k] * overlap(spectrum, k, low, high);
    }
    if (!(total > 0.0)) return std::nullopt;
    double below = 0.0;
    for (std::size_t k = 0; k < spectrum.uv2_per_hz.size(); ++k) {
        const double share = overlap(spectrum, k, low, high);
        const double power = spectrum.uv2_per_hz[k] * share;
        if (power > 0.0 && below + power >= total / 2) {
            const double left = std::max(low.value, (static_cast<double>(k) - 0.5) * spectrum.step_hz);
            return left + share * spectrum.step_hz * (total / 2 - below) / power;
        }
        below += power;
    }
    return std::nullopt;
}

std::optional<double> mean_frequency_hz(const PowerSpectrum& spectrum, Hertz low, Hertz high) {
    double total = 0.0, weighted = 0.0;
    for (std::size_t k = 0; k < spectrum.uv2_per_hz.size(); ++k) {
        const double power = spectrum.uv2_per_hz[k] * overlap(spectrum, k, low, high);
        total += power;
        weighted += power * static_cast<double>(k) * spectrum.step_hz;
    }
    return total > 0.0 ? std::optional(weighted / total) : std::nullopt;
}

double statistical_bandwidth_hz(const PowerSpectrum& spectrum) {
    double sum = 0.0, squares = 0.0;
    for (const double g : spectrum.uv2_per_hz) {
        sum += g;
        squares += g * g;
    }
    if (!(squares > 0.0)) return 0.0;
    // Half-overlapping Hann segments are worth 1/1.056 of independent ones (Welch 1967: correlation 1/6 between
    // neighbours); the mean square of an average of K independent periodograms is (1 + 1/K) times the square of the
    // density.
    const double independent = std::max(1.0, static_cast<double>(spectrum.segments) / 1.056);
    return sum * sum * spectrum.step_hz / (squares / (1.0 + 1.0 / independent));
}

}  // namespace tracehold
