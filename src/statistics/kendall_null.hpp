#pragma once
// How Kendall's S spreads when y does not depend on x: what Mann-Kendall and the interval of a Theil-Sen slope rest on.
#include <cstddef>
#include <span>
#include <vector>

namespace tracehold {

// Up to here all orders are counted, above S is close to normal. Source: measures page of this project; Kendall 1975.
inline constexpr std::size_t kExactUpTo = 10;

// S over all pairs: sum of sign(x_j - x_i) sign(y_j - y_i).
long long kendall_s(std::span<const double> x, std::span<const double> y);

bool has_ties(std::span<const double> values);

// Variance of S with ties in x, y or both (Kendall 1975, chapter 4). In: one length n. Out: 0 where either is constant.
double kendall_variance(std::span<const double> x, std::span<const double> y);

// share[k]: the share of all n! orders that have at most k falling pairs; k = 0 .. n (n - 1) / 2. In: 1 <= n <= 20.
std::vector<double> falling_pairs_cdf(std::size_t n);

}  // namespace tracehold
