#include "tracehold/clean/welch.hpp"

#include <algorithm>
#include <vector>

#include "clean/block_spectra.hpp"
#include "tracehold/core/many_values.hpp"

namespace tracehold {
namespace {

// The share of bin k that lies in [low, high).
double overlap(const PowerSpectrum& spectrum, std::size_t k, Hertz low, Hertz high) {
    const double left = (static_cast<double>(k) - 0.5) * spectrum.step_hz;
    const double inside = std::min(high.value, left + spectrum.step_hz) - std::max(low.value, left);
    return std::clamp(inside / spectrum.step_hz, 0.0, 1.0);
}

}  // namespace

std::vector<std::size_t> valid_segments(std::span<const float> uv, std::size_t segment_samples) {
    if (segment_samples < 2) return {};
    std::vector<std::size_t> begins = begins_of_blocks(uv.size(), segment_samples, segment_samples - segment_samples / 2);
    std::erase_if(begins, [&](std::size_t begin) { return any_missing(uv.subspan(begin, segment_samples)); });
    return begins;
}

PowerSpectrum mean_spectrum(std::span<const float> uv, Hertz rate, std::span<const std::size_t> begins, std::size_t segment_samples) {
    PowerSpectrum out;
    out.step_hz = rate.value / static_cast<double>(segment_samples);
    out.segments = begins.size();
    if (out.segments == 0) return out;
    BlockSpectra& spectra = block_spectra(segment_samples);
    out.uv2_per_hz.resize(spectra.bins());
    take_all(spectra, uv, begins, [&](auto&) { spectra.add_powers(out.uv2_per_hz); });
    const double density = spectra.density(rate) / static_cast<double>(out.segments);
    for (std::size_t k = 0; k < spectra.bins(); ++k) out.uv2_per_hz[k] *= spectra.is_alone(k) ? density / 2 : density;
    return out;
}

PowerSpectrum welch_spectrum(std::span<const float> uv, Hertz rate, std::size_t segment_samples) {
    return mean_spectrum(uv, rate, valid_segments(uv, segment_samples), segment_samples);
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
