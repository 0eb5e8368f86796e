#pragma once
// A stretch of the envelope: what is valid in it, its mean, and the standard errors that follow.
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "tracehold/core/estimate.hpp"
#include "tracehold/core/units.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {

// A window with less than this share of valid samples gives no number. Source: the measures' definition; our choice,
// because up to a third missing still leaves the error formulas within a fifth of the truth.
inline constexpr double kLeastValidShare = 0.7;

inline constexpr const char* kTooLittleValid = "less than 70 % of the window is valid signal";

// How much of a span its beginning is, where the envelope is on its way: 1 s, a third of a shorter one.
double margin_s(TimeSpan span);

// A rest without its beginning.
TimeSpan settled(TimeSpan rest);

Window window_of(const Envelope& envelope, TimeSpan span);

// The part of the envelope, NaN where masked.
std::span<const float> samples_of(const Envelope& envelope, const Window& window);

std::vector<double> valid_samples(const Envelope& envelope, const Window& window);

// Median of the valid samples, with its error; none by the window's reason.
Estimate median_of(const Envelope& envelope, const Window& window, std::optional<double> bandwidth_hz);

// Standard error of the mean of an envelope of a Gaussian signal whose level may change within the window:
// root mean square / (2 sqrt(B T)), T the valid time. At a constant level this is mean / (2 sqrt(B T)) (Bendat &
// Piersol); where the level changes, each moment adds by its own variance level^2 / (4 B), so the mean square takes the
// place of the square of the mean. A rectified envelope scatters sqrt(pi - 2) times as much. After subtraction of the
// noise floor n in power the root's slope e / sqrt(e^2 - n^2) is added. Out: empty without a bandwidth.
std::optional<double> error_of_mean(const Envelope& envelope, const Window& window, std::optional<double> bandwidth_hz);

// Mean e over the window with its error; none by the window's reason.
Estimate mean_of(const Envelope& envelope, const Window& window, std::optional<double> bandwidth_hz);

// Running means over one second: entry j covers the samples from window.samples.begin + j; NaN where less than 70 % of
// that second is valid. Empty where the window is shorter than a second.
struct SecondMeans {
    std::size_t length = 0;  // samples in a second, at least 1
    std::vector<double> uv;
};
SecondMeans second_means(const Envelope& envelope, SampleRange samples);

// The largest of the means [0, end); empty if none is valid.
std::optional<std::size_t> largest(const SecondMeans& means, std::size_t end);

}  // namespace tracehold
