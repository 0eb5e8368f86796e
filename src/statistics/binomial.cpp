#include "tracehold/statistics/binomial.hpp"

#include <cassert>

#include "tracehold/statistics/distributions.hpp"

namespace tracehold {

double binomial_cdf(std::size_t count, std::size_t total, double share) {
    if (count >= total || share <= 0.0) return 1.0;
    if (share >= 1.0) return 0.0;
    return incomplete_beta(static_cast<double>(total - count), static_cast<double>(count) + 1.0, 1.0 - share);
}

std::size_t binomial_quantile(double probability, std::size_t total, double share) {
    assert(probability > 0.0 && probability < 1.0 && share >= 0.0 && share <= 1.0);
    // The tails are good to about 1e-12: a sum that equals the probability in exact numbers must count as reaching it.
    const double reached = probability * (1.0 - 1e-11);
    std::size_t low = 0, high = total;
    while (low < high) {
        const std::size_t middle = low + (high - low) / 2;
        if (binomial_cdf(middle, total, share) >= reached) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    return low;
}

std::optional<FunnelLimits> funnel_limits(std::size_t total, double target) {
    if (total == 0 || !(target >= 0.0 && target <= 1.0)) return std::nullopt;
    const auto limit = [&](double probability) {
        return static_cast<double>(binomial_quantile(probability, total, target)) / static_cast<double>(total);
    };
    return FunnelLimits{limit(0.001), limit(0.025), limit(0.975), limit(0.999)};
}

}  // namespace tracehold
