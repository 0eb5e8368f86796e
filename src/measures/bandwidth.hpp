#pragma once
// The equivalent statistical bandwidth B of a stretch of signal: how many independent values a second holds (2 B of
// them). Every standard error of an amplitude rests on it.
#include <optional>

#include "tracehold/clean/clean.hpp"
#include "tracehold/core/units.hpp"
#include "tracehold/envelope/envelope.hpp"

namespace tracehold {

// Raw traces: (int G)^2 / int G^2 of the spectrum of the cleaned trace in the span, 1/8-s segments; where fewer than 4
// of them are valid, that of the whole recording. Source: Bendat & Piersol, Random Data (from memory). Exported
// envelopes: the bandwidth that the scatter of the envelope about its own straight line stands for, B = mean^2 / (4 s^2
// tau), s the SD of the residuals, tau = dt (1 + 2 sum (1 - k/n) r_k) their correlation time, summed up to the first
// r_k <= 0. It counts the muscle's own unsteadiness as measurement error, so errors are rather too wide. Out: empty
// where nothing can be told (fewer than 8 valid samples, no scatter at all, no power).
std::optional<double> bandwidth_hz(const CleanRecording& clean, const Envelope& envelope, TimeSpan span);

// The second way, for any envelope.
std::optional<double> bandwidth_from_scatter_hz(const Envelope& envelope, TimeSpan span);

}  // namespace tracehold
