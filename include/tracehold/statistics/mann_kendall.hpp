#pragma once
#include <optional>
#include <span>

namespace tracehold {

// Is there a trend up or down in time? s: pairs that rise minus pairs that fall.
struct MannKendall {
    long long s = 0;
    double variance = 0.0;  // of s without a trend, corrected for ties
    double z = 0.0;         // with continuity correction; 0 where s is 0
    double p = 1.0;         // two-sided
    bool exact = false;     // p counted over all orders (n <= 10 and no ties), else from z
    bool operator==(const MannKendall&) const = default;
};

// In: times and values of one length, finite, any order; equal times count as ties.
// Out: empty below 4 points. Values all equal: s 0, p 1. Points are taken as independent.
// Source: Mann 1945, Kendall 1975 (ties in both, chapter 4), Gilbert 1987, section 16.4.
std::optional<MannKendall> mann_kendall(std::span<const double> times, std::span<const double> values);

// Values already in order of time.
std::optional<MannKendall> mann_kendall(std::span<const double> values);

}  // namespace tracehold
