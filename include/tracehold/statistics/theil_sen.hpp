#pragma once
#include <optional>
#include <span>

namespace tracehold {

// A straight line through points that a few odd ones cannot pull away: the median of the slopes of all pairs.
// The interval is that of the slope, for independent points; empty where too few points allow none at 95 %.
struct TheilSen {
    double slope = 0.0;      // unit of y per unit of x
    double intercept = 0.0;  // median of y - slope * x
    std::optional<double> ci95_low, ci95_high;
    bool operator==(const TheilSen&) const = default;
};

// In: x and y of one length, finite, any order; pairs of equal x are left out.
// Out: empty below 2 different x. The interval counts in from both ends of the sorted slopes: with 10 points or fewer
// and no ties by the exact null distribution of Kendall's S, so that it leaves out 0 exactly when mann_kendall gives
// p <= 0.05; otherwise by its normal approximation with ties, between two slopes in proportion.
// Source: Theil 1950; Sen 1968 (interval); Gilbert 1987, section 16.5 (interpolated ranks).
std::optional<TheilSen> theil_sen(std::span<const double> x, std::span<const double> y);

}  // namespace tracehold
