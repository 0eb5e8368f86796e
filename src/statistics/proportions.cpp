#include "tracehold/statistics/proportions.hpp"

#include <algorithm>
#include <cmath>

#include "tracehold/statistics/distributions.hpp"

namespace tracehold {

std::optional<Proportion> wilson(std::size_t count, std::size_t total) {
    if (total == 0 || count > total) return std::nullopt;
    const double n = static_cast<double>(total);
    const double p = static_cast<double>(count) / n;
    const double z2 = kZ95 * kZ95;
    const double centre = (p + z2 / (2 * n)) / (1 + z2 / n);
    const double half_width = kZ95 * std::sqrt(p * (1 - p) / n + z2 / (4 * n * n)) / (1 + z2 / n);
    // At the ends the formula gives the end itself, but for the last digit.
    const double low = count == 0 ? 0.0 : std::max(0.0, centre - half_width);
    const double high = count == total ? 1.0 : std::min(1.0, centre + half_width);
    return Proportion{p, low, high};
}

}  // namespace tracehold
