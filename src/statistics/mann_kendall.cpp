#include "tracehold/statistics/mann_kendall.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>
#include <vector>

#include "statistics/kendall_null.hpp"
#include "tracehold/statistics/distributions.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kFewest = 4;  // below, no order of the values is rarer than 1 in 3: nothing can be shown

double exact_p(long long s, std::size_t n) {
    const auto pairs = static_cast<long long>(n * (n - 1) / 2);
    const long long falling = (pairs - std::abs(s)) / 2;
    return std::min(1.0, 2.0 * falling_pairs_cdf(n)[static_cast<std::size_t>(falling)]);
}

}  // namespace

std::optional<MannKendall> mann_kendall(std::span<const double> times, std::span<const double> values) {
    assert(times.size() == values.size());
    if (values.size() < kFewest) return std::nullopt;
    MannKendall result;
    result.s = kendall_s(times, values);
    result.variance = kendall_variance(times, values);
    if (result.s != 0) {
        const double toward_zero = static_cast<double>(result.s) - (result.s > 0 ? 1.0 : -1.0);
        result.z = toward_zero / std::sqrt(result.variance);
    }
    result.exact = values.size() <= kExactUpTo && !has_ties(times) && !has_ties(values);
    result.p = result.exact ? exact_p(result.s, values.size()) : 2.0 * normal_cdf(-std::abs(result.z));
    return result;
}

std::optional<MannKendall> mann_kendall(std::span<const double> values) {
    std::vector<double> order(values.size());
    std::iota(order.begin(), order.end(), 0.0);
    return mann_kendall(order, values);
}

}  // namespace tracehold
