#pragma once
// Least-squares lines, through the envelope and through a few points.
#include <cstddef>
#include <optional>
#include <span>

#include "tracehold/core/units.hpp"
#include "tracehold/envelope/envelope.hpp"

namespace tracehold {

// value = start + slope * t, t in seconds from the begin of the span.
struct Line {
    double start = 0.0;
    double slope = 0.0;
    double mean = 0.0;         // of the values
    double residual_sd = 0.0;  // with n - 2; 0 for two points
    std::size_t n = 0;
    double at(double t) const { return start + slope * t; }
};

// In: one length, finite. Out: empty below 2 different times.
std::optional<Line> line_through(std::span<const double> times, std::span<const double> values);

// Through the valid samples of e in the span.
std::optional<Line> line_through(const Envelope& envelope, TimeSpan span);

}  // namespace tracehold
