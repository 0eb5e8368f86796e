#include "tracehold/statistics/theil_sen.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <utility>
#include <vector>

#include "statistics/kendall_null.hpp"
#include "tracehold/statistics/distributions.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

std::vector<double> slopes_of(std::span<const double> x, std::span<const double> y) {
    std::vector<double> slopes;
    slopes.reserve(x.size() * (x.size() - std::min<std::size_t>(x.size(), 1)) / 2);
    for (std::size_t i = 0; i < x.size(); ++i) {
        for (std::size_t j = i + 1; j < x.size(); ++j) {
            if (x[i] != x[j]) slopes.push_back((y[j] - y[i]) / (x[j] - x[i]));
        }
    }
    return slopes;
}

// How many slopes to count in from each end, 1 = the outermost; below 1 no interval exists. The true slope lies outside
// of the k-th ones with probability 2 P(at most k - 1 falling pairs).
double exact_rank(std::size_t n) {
    double rank = 0.0;
    for (const double share : falling_pairs_cdf(n)) {
        if (share > 0.025) break;
        rank += 1.0;
    }
    return rank;
}

double normal_rank(std::span<const double> x, std::span<const double> y, std::size_t slopes) {
    return 0.5 * (static_cast<double>(slopes) - kZ95 * std::sqrt(kendall_variance(x, y)));
}

// Between the order statistics of that rank, from 1. Sorting them all would take most of the time of a course of years.
double at_rank(std::vector<double>& slopes, double rank) {
    const auto below = static_cast<std::size_t>(rank);
    const double share = rank - static_cast<double>(below);
    const auto at = slopes.begin() + static_cast<std::ptrdiff_t>(below) - 1;
    std::nth_element(slopes.begin(), at, slopes.end());
    return share == 0.0 ? *at : *at + share * (*std::min_element(at + 1, slopes.end()) - *at);
}

}  // namespace

std::optional<TheilSen> theil_sen(std::span<const double> x, std::span<const double> y) {
    assert(x.size() == y.size());
    std::vector<double> slopes = slopes_of(x, y);
    if (slopes.empty()) return std::nullopt;
    TheilSen line;
    line.slope = quantile_in_place(slopes, 0.5);
    std::vector<double> offsets;
    for (std::size_t i = 0; i < x.size(); ++i) offsets.push_back(y[i] - line.slope * x[i]);
    line.intercept = median(offsets);
    const bool exact = x.size() <= kExactUpTo && !has_ties(x) && !has_ties(y);
    const double rank = exact ? exact_rank(x.size()) : normal_rank(x, y, slopes.size());
    if (rank >= 1.0) {
        line.ci95_low = at_rank(slopes, rank);
        line.ci95_high = at_rank(slopes, static_cast<double>(slopes.size()) + 1.0 - rank);
    }
    return line;
}

}  // namespace tracehold
