#pragma once
#include <cstddef>
#include <optional>

namespace tracehold {

// P(X <= count) of a binomial. In: 0 <= share <= 1; a count at or above total gives 1.
double binomial_cdf(std::size_t count, std::size_t total, double share);

// The smallest count whose binomial_cdf reaches probability: the inverse CDF, not interpolated.
// In: 0 < probability < 1, 0 <= share <= 1.
std::size_t binomial_quantile(double probability, std::size_t total, double share);

// Where the share of a group of this size lies if it differs from the target by chance alone, all 0..1. A share on a
// limit is within it.
struct FunnelLimits {
    double low_998 = 0.0, low_95 = 0.0, high_95 = 0.0, high_998 = 0.0;
    bool operator==(const FunnelLimits&) const = default;
};

// Exact binomial limits: binomial_quantile at 0.1, 2.5, 97.5 and 99.9 %, divided by total. Units must be independent.
// In: 0 <= target <= 1. Out: empty for total 0 or a target outside 0..1. Source: Spiegelhalter 2005.
std::optional<FunnelLimits> funnel_limits(std::size_t total, double target);

}  // namespace tracehold
