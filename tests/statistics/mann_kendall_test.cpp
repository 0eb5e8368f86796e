#include "tracehold/statistics/mann_kendall.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "statistics/kendall_null.hpp"

using namespace tracehold;

TEST_CASE("S and Z meet the published hand-worked example") {
    // Published hand-worked example with one tie: S = 54, Z = 2.905837.
    const std::vector<double> y{12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7};
    const auto trend = mann_kendall(y);
    REQUIRE(trend);
    CHECK(trend->s == 54);
    CHECK(trend->z == doctest::Approx(2.905837).epsilon(1e-6));
    CHECK(trend->variance == doctest::Approx((14 * 13 * 33 - 2 * 1 * 9) / 18.0));
    CHECK_FALSE(trend->exact);
    CHECK(trend->p == doctest::Approx(std::erfc(trend->z / std::sqrt(2.0))));
}

TEST_CASE("the exact null counts the orders of a few values") {
    // All 24 orders of 4 values by falling pairs: 1, 3, 5, 6, 5, 3, 1.
    const std::array<double, 7> counts{1, 4, 9, 15, 20, 23, 24};
    const auto cdf = falling_pairs_cdf(4);
    REQUIRE(cdf.size() == 7);
    for (std::size_t k = 0; k < 7; ++k) CHECK(cdf[k] == doctest::Approx(counts[k] / 24.0));
    CHECK(mann_kendall(std::array{1.0, 2.0, 3.0, 4.0})->p == doctest::Approx(2.0 / 24.0));
    CHECK(mann_kendall(std::array{1.0, 2.0, 3.0, 4.0})->exact);
    CHECK(mann_kendall(std::array{2.0, 1.0, 4.0, 3.0, 5.0})->p == doctest::Approx(2.0 * 14 / 120.0));
}

TEST_CASE("the exact null agrees with a count over every order of seven values") {
    std::vector<double> order{0, 1, 2, 3, 4, 5, 6};
    std::vector<double> shares(22, 0.0);
    const std::vector<double> times = order;
    do {
        const long long s = kendall_s(times, order);
        shares[static_cast<std::size_t>((21 - s) / 2)] += 1.0 / 5040;
    } while (std::next_permutation(order.begin(), order.end()));
    const auto cdf = falling_pairs_cdf(7);
    double sum = 0.0;
    for (std::size_t k = 0; k < shares.size(); ++k) CHECK(cdf[k] == doctest::Approx(sum += shares[k]));
}

TEST_CASE("the variance of S without a trend is that of all orders also with ties") {
    // Twelve values with ties in both: the mean of S^2 over many shuffles.
    const std::vector<double> x{1, 1, 2, 3, 3, 3, 4, 5, 6, 7, 8, 8};
    std::vector<double> y{2, 2, 2, 1, 5, 6, 6, 7, 9, 9, 3, 4};
    unsigned state = 3;
    double squares = 0.0;
    constexpr int kShuffles = 40000;
    for (int trial = 0; trial < kShuffles; ++trial) {
        for (std::size_t i = y.size() - 1; i > 0; --i) {
            state = state * 1664525u + 1013904223u;
            std::swap(y[i], y[(state >> 8) % (i + 1)]);
        }
        squares += std::pow(static_cast<double>(kendall_s(x, y)), 2);
    }
    CHECK(squares / kShuffles == doctest::Approx(kendall_variance(x, y)).epsilon(0.03));
}

TEST_CASE("a trend turns its sign with the values and with time and ignores their scale") {
    const std::vector<double> y{3, 1, 4, 1.5, 5, 9, 2.6, 5.3};
    std::vector<double> falling, logs, reversed(y.rbegin(), y.rend());
    for (const double v : y) falling.push_back(-v);
    for (const double v : y) logs.push_back(std::log(v));
    CHECK(mann_kendall(falling)->s == -mann_kendall(y)->s);
    CHECK(mann_kendall(reversed)->s == -mann_kendall(y)->s);
    CHECK(mann_kendall(reversed)->p == doctest::Approx(mann_kendall(y)->p));
    CHECK(*mann_kendall(logs) == *mann_kendall(y));
}

TEST_CASE("few or equal values show no trend") {
    CHECK_FALSE(mann_kendall(std::array{1.0, 2.0, 3.0}));
    CHECK_FALSE(mann_kendall(std::span<const double>{}));
    const auto flat = mann_kendall(std::array{2.0, 2.0, 2.0, 2.0, 2.0});
    REQUIRE(flat);
    CHECK(flat->s == 0);
    CHECK(flat->z == 0.0);
    CHECK(flat->p == 1.0);
}

TEST_CASE("sessions at one time count as ties") {
    const std::array times{0.0, 0.0, 1.0, 2.0, 3.0};
    const std::array values{1.0, 9.0, 10.0, 11.0, 12.0};
    const auto trend = mann_kendall(times, values);
    CHECK(trend->s == 9);
    CHECK_FALSE(trend->exact);
}
