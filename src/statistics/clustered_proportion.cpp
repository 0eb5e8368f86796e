#include "tracehold/statistics/clustered_proportion.hpp"

#include <algorithm>
#include <cmath>

#include "tracehold/statistics/distributions.hpp"

namespace tracehold {
namespace {

Proportion score_interval(double share, double n) {
    const double z2 = kZ95 * kZ95;
    const double centre = (share + z2 / (2.0 * n)) / (1.0 + z2 / n);
    const double half_width = kZ95 * std::sqrt(share * (1.0 - share) / n + z2 / (4.0 * n * n)) / (1.0 + z2 / n);
    const double low = share == 0.0 ? 0.0 : std::max(0.0, centre - half_width);
    const double high = share == 1.0 ? 1.0 : std::min(1.0, centre + half_width);
    return {share, low, high};
}

// Whole numbers until the last step, so that the order of the clusters changes no digit.
double squared_departures(std::span<const Cluster> clusters, double share) {
    double counts2 = 0.0, products = 0.0, totals2 = 0.0;
    for (const Cluster& cluster : clusters) {
        const double count = static_cast<double>(cluster.count), total = static_cast<double>(cluster.total);
        counts2 += count * count;
        products += count * total;
        totals2 += total * total;
    }
    return std::max(0.0, counts2 - 2.0 * share * products + share * share * totals2);
}

}  // namespace

std::optional<Proportion> clustered_proportion(std::span<const Cluster> clusters) {
    std::size_t count = 0, total = 0, people = 0;
    for (const Cluster& cluster : clusters) {
        count += cluster.count;
        total += cluster.total;
        people += cluster.total > 0 ? 1 : 0;
    }
    if (total == 0) return std::nullopt;
    const double n = static_cast<double>(total), k = static_cast<double>(people);
    const double share = static_cast<double>(count) / n;
    if (people < 2 || count == 0 || count == total) return score_interval(share, k);
    const double between = k / (k - 1.0) * squared_departures(clusters, share) / (n * n);
    const double design_effect = std::max(1.0, between * n / (share * (1.0 - share)));
    return score_interval(share, n / design_effect);
}

}  // namespace tracehold
