#include "tracehold/statistics/summary.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>
#include <vector>

#include "tracehold/statistics/distributions.hpp"

namespace tracehold {

Summary summarise(std::span<const double> values) {
    Summary summary;
    summary.n = values.size();
    if (values.empty()) return summary;
    const double n = static_cast<double>(values.size());
    const double mean = std::accumulate(values.begin(), values.end(), 0.0) / n;
    summary.mean = mean;
    summary.min = *std::min_element(values.begin(), values.end());
    summary.max = *std::max_element(values.begin(), values.end());
    if (values.size() < 2) return summary;
    double squares = 0.0;
    for (const double value : values) squares += (value - mean) * (value - mean);
    const double sd = std::sqrt(squares / (n - 1.0));
    const double half_width = student_t_quantile(0.975, n - 1.0) * sd / std::sqrt(n);
    summary.sd = sd;
    summary.ci95_low = mean - half_width;
    summary.ci95_high = mean + half_width;
    if (mean != 0.0) summary.cv_pct = 100.0 * sd / std::abs(mean);
    return summary;
}

double quantile(std::span<const double> values, double p) {
    assert(!values.empty() && p >= 0.0 && p <= 1.0);
    std::vector<double> sorted(values.begin(), values.end());
    const double rank = p * static_cast<double>(sorted.size() - 1);
    const auto below = static_cast<std::ptrdiff_t>(rank);
    std::nth_element(sorted.begin(), sorted.begin() + below, sorted.end());
    const double low = sorted[static_cast<std::size_t>(below)];
    const double share = rank - static_cast<double>(below);
    if (share == 0.0) return low;
    const double high = *std::min_element(sorted.begin() + below + 1, sorted.end());
    return low + share * (high - low);
}

double median(std::span<const double> values) { return quantile(values, 0.5); }

}  // namespace tracehold
