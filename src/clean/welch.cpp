#include "tracehold/clean/welch.hpp"

#include <algorithm>
#include <vector>

#include "clean/block_spectra.hpp"
#include "tracehold/core/many_values.hpp"

namespace tracehold {
namespace {

PowerSpectrum empty_spectrum(Hertz rate, std::size_t segments, std::size_t segment_samples) {
    PowerSpectrum out;
    out.step_hz = rate.value / static_cast<double>(segment_samples);
    out.segments = segments;
    if (segments > 0) out.uv2_per_hz.resize(segment_samples / 2 + 1);
    return out;
}

// In: sums of squares.
void become_density(PowerSpectrum& spectrum, Hertz rate, const BlockSpectra& spectra) {
    const double density = spectra.density(rate) / static_cast<double>(spectrum.segments);
    for (std::size_t k = 0; k < spectrum.uv2_per_hz.size(); ++k) spectrum.uv2_per_hz[k] *= spectra.is_alone(k) ? density / 2 : density;
}

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
    if (any_missing(uv)) std::erase_if(begins, [&](std::size_t begin) { return any_missing(uv.subspan(begin, segment_samples)); });
    return begins;
}

PowerSpectrum mean_spectrum(std::span<const float> uv, Hertz rate, std::span<const std::size_t> begins, std::size_t segment_samples) {
    PowerSpectrum out = empty_spectrum(rate, begins.size(), segment_samples);
    if (out.segments == 0) return out;
    BlockSpectra& spectra = block_spectra(segment_samples);
    take_all(spectra, uv, begins, [&](auto&) { spectra.add_powers(out.uv2_per_hz); });
    become_density(out, rate, spectra);
    return out;
}

std::vector<PowerSpectrum> mean_spectra(std::span<const float> uv, Hertz rate, std::span<const std::vector<std::size_t>> groups,
                                        std::size_t segment_samples) {
    std::vector<PowerSpectrum> out;
    std::vector<std::size_t> begins, owners;
    for (const std::vector<std::size_t>& group : groups) {
        begins.insert(begins.end(), group.begin(), group.end());
        owners.insert(owners.end(), group.size(), out.size());
        out.push_back(empty_spectrum(rate, group.size(), segment_samples));
    }
    if (begins.empty()) return out;
    BlockSpectra& spectra = block_spectra(segment_samples);
    auto owner = owners.begin();
    take_all(spectra, uv, begins, [&](auto& some) {
        const std::span<const double> squares = spectra.squares();
        for (std::size_t b = 0; b < some.size(); ++b, ++owner)
            for (std::size_t k = 0; k < spectra.bins(); ++k) out[*owner].uv2_per_hz[k] += squares[BlockSpectra::kMost * k + b];
    });
    for (PowerSpectrum& spectrum : out) become_density(spectrum, rate, spectra);
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
