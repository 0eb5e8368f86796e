#pragma once
// Power spectra by averaged periodograms (Welch 1967).
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold {

// One-sided density: the sum of uv2_per_hz times step_hz is the variance. Bin k stands at k * step_hz.
struct PowerSpectrum {
    double step_hz = 0.0;
    std::vector<double> uv2_per_hz;
    std::size_t segments = 0;  // averaged; 0: no segment was valid, the density is empty
};

// Hann window (periodic), half overlap, each segment freed of its mean. Segments that hold a masked (NaN) sample are
// skipped. In: uv in µV, any length; segment_samples >= 2. Edges: nothing valid gives segments = 0.
PowerSpectrum welch_spectrum(std::span<const float> uv, Hertz rate, std::size_t segment_samples);

// The same of chosen segments. In: where they begin in uv; within none of them is anything masked.
PowerSpectrum mean_spectrum(std::span<const float> uv, Hertz rate, std::span<const std::size_t> begins, std::size_t segment_samples);

// One of each group of segments, many groups at once: a few segments take as long as one lot of them.
std::vector<PowerSpectrum> mean_spectra(std::span<const float> uv, Hertz rate, std::span<const std::vector<std::size_t>> groups,
                                        std::size_t segment_samples);

// Those that welch_spectrum takes.
std::vector<std::size_t> valid_segments(std::span<const float> uv, std::size_t segment_samples);

// The frequency that halves the power between low and high (linear inside a bin), and the power-weighted mean of
// frequency there. Empty where there is no power. A bin stands for [f - step/2, f + step/2), cut to the band.
std::optional<double> median_frequency_hz(const PowerSpectrum& spectrum, Hertz low, Hertz high);
std::optional<double> mean_frequency_hz(const PowerSpectrum& spectrum, Hertz low, Hertz high);

// Equivalent statistical bandwidth (int G)^2 / int G^2, freed of the bias that the scatter of few segments adds to int
// G^2. 0 where there is no power. Source: Bendat & Piersol, Random Data (from memory).
double statistical_bandwidth_hz(const PowerSpectrum& spectrum);

}  // namespace tracehold
