// Number of orders of n things with k falling pairs: putting the m-th thing in adds 0 .. m - 1 of them, so
// count_m(k) = sum over i < m of count_(m-1)(k - i).
#include "statistics/kendall_null.hpp"

#include <algorithm>

namespace tracehold {
namespace {

int sign(double value) { return (value > 0.0) - (value < 0.0); }

// Sums over groups of equal values of size t that the variance needs.
struct TieSums {
    double pairs = 0.0;    // t (t - 1)
    double triples = 0.0;  // t (t - 1) (t - 2)
    double spread = 0.0;   // t (t - 1) (2 t + 5)
};

TieSums tie_sums(std::span<const double> values) {
    std::vector<double> sorted(values.begin(), values.end());
    std::sort(sorted.begin(), sorted.end());
    TieSums sums;
    for (auto group = sorted.begin(); group != sorted.end();) {
        const auto end = std::upper_bound(group, sorted.end(), *group);
        const double t = static_cast<double>(end - group);
        sums.pairs += t * (t - 1);
        sums.triples += t * (t - 1) * (t - 2);
        sums.spread += t * (t - 1) * (2 * t + 5);
        group = end;
    }
    return sums;
}

}  // namespace

long long kendall_s(std::span<const double> x, std::span<const double> y) {
    long long s = 0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        for (std::size_t j = i + 1; j < x.size(); ++j) s += sign(x[j] - x[i]) * sign(y[j] - y[i]);
    }
    return s;
}

bool has_ties(std::span<const double> values) { return tie_sums(values).pairs > 0.0; }

double kendall_variance(std::span<const double> x, std::span<const double> y) {
    const double n = static_cast<double>(x.size());
    if (n < 2) return 0.0;
    const TieSums u = tie_sums(x);
    const TieSums v = tie_sums(y);
    double variance = (n * (n - 1) * (2 * n + 5) - u.spread - v.spread) / 18.0;
    variance += u.pairs * v.pairs / (2 * n * (n - 1));
    if (n > 2) variance += u.triples * v.triples / (9 * n * (n - 1) * (n - 2));
    return std::max(0.0, variance);
}

std::vector<double> falling_pairs_cdf(std::size_t n) {
    std::vector<double> share{1.0};
    for (std::size_t m = 2; m <= n; ++m) {
        std::vector<double> next(share.size() + m - 1, 0.0);
        for (std::size_t k = 0; k < share.size(); ++k) {
            for (std::size_t added = 0; added < m; ++added) next[k + added] += share[k] / static_cast<double>(m);
        }
        share = std::move(next);
    }
    for (std::size_t k = 1; k < share.size(); ++k) share[k] += share[k - 1];
    return share;
}

}  // namespace tracehold
