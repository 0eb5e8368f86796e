#include "tracehold/statistics/summary.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>
#include <vector>

#include "tracehold/statistics/distributions.hpp"

namespace tracehold {
namespace {

template <class Number>
double quantile_of(std::span<Number> values, double p) {
    assert(!values.empty() && p >= 0.0 && p <= 1.0);
    const double rank = p * static_cast<double>(values.size() - 1);
    const auto below = values.begin() + static_cast<std::ptrdiff_t>(rank);
    std::nth_element(values.begin(), below, values.end());
    const double low = static_cast<double>(*below);
    const double share = rank - std::floor(rank);
    if (share == 0.0) return low;
    return low + share * (static_cast<double>(*std::min_element(below + 1, values.end())) - low);
}

}  // namespace

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
    std::vector<double> copy(values.begin(), values.end());
    return quantile_in_place(copy, p);
}

double quantile_in_place(std::span<double> values, double p) { return quantile_of(values, p); }

double quantile_in_place(std::span<float> values, double p) { return quantile_of(values, p); }

double median(std::span<const double> values) { return quantile(values, 0.5); }

}  // namespace tracehold
