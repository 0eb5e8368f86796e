#include "measures/bandwidth.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "measures/line.hpp"
#include "measures/window.hpp"
#include "tracehold/clean/welch.hpp"

namespace tracehold {
namespace {

constexpr double kBandSegment_s = 0.125;        // our choice: 8 Hz wide bins follow any EMG spectrum, and a second holds 15
constexpr std::size_t kFewestSegments = 4;  // our choice: fewer leave B itself uncertain by more than a third
constexpr std::size_t kFewestScatterSamples = 8;  // our choice: fewer say nothing about correlation

// Residuals of the envelope about its line, NaN where masked.
std::vector<double> residuals_about(const Line& line, const Envelope& envelope, const Window& window, double begin_s) {
    std::vector<double> residuals;
    for (std::size_t i = window.samples.begin; i < window.samples.end; ++i) {
        residuals.push_back(envelope.uv[i] - line.at(time_of(i, envelope.rate) - begin_s));
    }
    return residuals;
}

// Mean product of residuals that lie `lag` samples apart, over the pairs of which both are valid.
double covariance_at(const std::vector<double>& residuals, std::size_t lag) {
    double sum = 0.0;
    std::size_t pairs = 0;
    for (std::size_t i = lag; i < residuals.size(); ++i) {
        const double product = residuals[i] * residuals[i - lag];
        if (std::isfinite(product)) sum += product, ++pairs;
    }
    return pairs > 0 ? sum / static_cast<double>(pairs) : 0.0;
}

// In samples.
double correlation_time(const std::vector<double>& residuals) {
    const double variance = covariance_at(residuals, 0);
    const double n = static_cast<double>(residuals.size());
    double time = 1.0;
    for (std::size_t lag = 1; lag < residuals.size() / 2; ++lag) {
        const double correlation = covariance_at(residuals, lag) / variance;
        if (correlation <= 0.0) break;
        time += 2.0 * (1.0 - static_cast<double>(lag) / n) * correlation;
    }
    return time;
}

}  // namespace

std::optional<double> bandwidth_from_scatter_hz(const Envelope& envelope, TimeSpan span) {
    const Window window = window_of(envelope, span);
    if (!window.reason.empty() || window.valid < kFewestScatterSamples) return std::nullopt;
    const auto line = line_through(envelope, span);
    // Samples are float32: a scatter below their last digits is none.
    if (!line || !(line->residual_sd > 1e-6 * window.mean)) return std::nullopt;
    const double tau_s = correlation_time(residuals_about(*line, envelope, window, span.begin_s)) / envelope.rate.value;
    return window.mean * window.mean / (4.0 * line->residual_sd * line->residual_sd * tau_s);
}

std::optional<double> bandwidth_hz(const CleanRecording& clean, const Envelope& envelope, TimeSpan span) {
    if (clean.kind != ChannelKind::raw) return bandwidth_from_scatter_hz(envelope, span);
    const SampleRange samples = samples_in(span, clean.rate, clean.uv.size());
    const auto uv = std::span(clean.uv).subspan(samples.begin, samples.size());
    const auto segment = static_cast<std::size_t>(std::max(2.0, std::round(kBandSegment_s * clean.rate.value)));
    const PowerSpectrum spectrum = welch_spectrum(uv, clean.rate, segment);
    const double bandwidth =
        spectrum.segments >= kFewestSegments ? statistical_bandwidth_hz(spectrum) : clean.bandwidth_hz;
    return bandwidth > 0.0 ? std::optional(bandwidth) : std::nullopt;
}

}  // namespace tracehold
