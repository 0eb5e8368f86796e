#include "tracehold/statistics/binomial.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace tracehold;

namespace {

// Slow twin: sums the probabilities one by one.
double summed_cdf(std::size_t count, std::size_t total, double share) {
    double sum = 0.0;
    for (std::size_t k = 0; k <= count; ++k) {
        const double n = static_cast<double>(total), x = static_cast<double>(k);
        sum += std::exp(std::lgamma(n + 1) - std::lgamma(x + 1) - std::lgamma(n - x + 1) + x * std::log(share) +
                        (n - x) * std::log1p(-share));
    }
    return sum;
}

}  // namespace

TEST_CASE("the cumulative binomial is the sum of its terms") {
    for (const std::size_t total : {1, 2, 7, 40, 300}) {
        for (const double share : {0.01, 0.3, 0.5, 0.8}) {
            for (std::size_t count = 0; count < total; count += 1 + total / 9) {
                CHECK(binomial_cdf(count, total, share) ==
                      doctest::Approx(summed_cdf(count, total, share)).epsilon(1e-9));
            }
        }
    }
    CHECK(binomial_cdf(3, 3, 0.5) == 1.0);
    CHECK(binomial_cdf(0, 4, 0.0) == 1.0);
    CHECK(binomial_cdf(3, 4, 1.0) == 0.0);
    CHECK(binomial_cdf(0, 4, 0.5) == doctest::Approx(1.0 / 16.0).epsilon(1e-12));  // closed form
}

TEST_CASE("the quantile is the smallest count that reaches the probability") {
    for (const std::size_t total : {1, 9, 64}) {
        for (const double share : {0.2, 0.5, 0.9}) {
            for (const double probability : {0.001, 0.025, 0.5, 0.975, 0.999}) {
                const std::size_t q = binomial_quantile(probability, total, share);
                CHECK(summed_cdf(q, total, share) >= probability * (1 - 1e-9));
                if (q > 0) CHECK(summed_cdf(q - 1, total, share) < probability);
            }
        }
    }
    CHECK(binomial_quantile(0.5, 9, 0.5) == 4);        // a sum that is exactly one half: symmetry
    CHECK(binomial_quantile(1.0 / 16.0, 4, 0.5) == 0);  // exactly the first term
    CHECK(binomial_quantile(0.975, 5, 0.0) == 0);
    CHECK(binomial_quantile(0.025, 5, 1.0) == 5);
    CHECK(binomial_quantile(0.025, 0, 0.5) == 0);
}

// Spiegelhalter 2005 (exact binomial limits); values by the inverse CDF without interpolation, recomputed with SciPy.
TEST_CASE("funnel limits around four fifths meet the table") {
    struct Row {
        std::size_t n;
        FunnelLimits limits;
    };
    for (const Row& row : {Row{20, {.50, .60, .95, 1.0}}, Row{50, {.62, .68, .90, .96}}, Row{100, {.67, .72, .88, .91}},
                           Row{200, {.71, .745, .855, .885}}}) {
        const auto limits = funnel_limits(row.n, 0.8);
        REQUIRE(limits);
        CHECK(limits->low_998 == doctest::Approx(row.limits.low_998).epsilon(1e-12));
        CHECK(limits->low_95 == doctest::Approx(row.limits.low_95).epsilon(1e-12));
        CHECK(limits->high_95 == doctest::Approx(row.limits.high_95).epsilon(1e-12));
        CHECK(limits->high_998 == doctest::Approx(row.limits.high_998).epsilon(1e-12));
    }
}

TEST_CASE("funnel limits exist for one and not for none") {
    CHECK_FALSE(funnel_limits(0, 0.5));
    CHECK_FALSE(funnel_limits(10, 1.5));
    CHECK_FALSE(funnel_limits(10, std::nan("")));
    const auto one = funnel_limits(1, 0.5);
    REQUIRE(one);
    CHECK(one->low_998 == 0.0);
    CHECK(one->high_998 == 1.0);
    CHECK(*funnel_limits(30, 0.0) == FunnelLimits{0.0, 0.0, 0.0, 0.0});
}

TEST_CASE("chance alone leaves the 95 percent limits at most as often as stated") {
    for (const std::size_t n : {10, 37, 200}) {
        const auto limits = funnel_limits(n, 0.7);
        const auto count = [&](double share) { return static_cast<std::size_t>(std::lround(share * static_cast<double>(n))); };
        const std::size_t low = count(limits->low_95), high = count(limits->high_95);
        const double below = low == 0 ? 0.0 : summed_cdf(low - 1, n, 0.7);
        CHECK(below < 0.025);
        CHECK(1.0 - summed_cdf(high, n, 0.7) <= 0.025 + 1e-9);
    }
}
