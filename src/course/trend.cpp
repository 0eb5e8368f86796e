#include "course/trend.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "course/neighbouring_days.hpp"
#include "tracehold/statistics/distributions.hpp"
#include "tracehold/statistics/mann_kendall.hpp"

namespace tracehold {

std::optional<Trend> trend_of(std::span<const DayValue> days, double correlation) {
    return trend_of(days, correlation, theil_sen(times_of(days), scaled_of(days)));
}

std::optional<Trend> trend_of(std::span<const DayValue> days, double correlation, const std::optional<TheilSen>& line) {
    const auto times = times_of(days), values = scaled_of(days);
    if (!line) return std::nullopt;
    const double wider = std::sqrt(trend_variance_factor(times, correlation));
    Trend trend{.slope = line->slope};
    if (line->ci95_low && line->ci95_high) {
        trend.low = line->slope - wider * (line->slope - *line->ci95_low);
        trend.high = line->slope + wider * (*line->ci95_high - line->slope);
    }
    if (const auto test = mann_kendall(times, values)) {
        trend.p = std::max(test->p, 2.0 * normal_cdf(-std::abs(test->z) / wider));
    }
    return trend;
}

std::vector<double> adjust_together(std::span<const double> p) {
    std::vector<std::size_t> order(p.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return p[a] < p[b]; });
    std::vector<double> adjusted(p.size());
    double largest = 0.0;
    for (std::size_t rank = 0; rank < order.size(); ++rank) {
        const double scaled = static_cast<double>(p.size() - rank) * p[order[rank]];
        largest = std::max(largest, std::min(1.0, scaled));
        adjusted[order[rank]] = largest;
    }
    return adjusted;
}

}  // namespace tracehold
