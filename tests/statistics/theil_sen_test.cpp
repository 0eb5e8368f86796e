#include "tracehold/statistics/theil_sen.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <vector>

#include "tracehold/statistics/mann_kendall.hpp"

using namespace tracehold;

TEST_CASE("the slope meets the printed example of Hollander and Wolfe") {
    // Hollander & Wolfe, Nonparametric Statistical Methods, example 9.1.
    const std::array x{1.0, 2.0, 3.0, 4.0, 5.0};
    const std::array y{1.26, 1.27, 1.12, 1.16, 1.03};
    const auto line = theil_sen(x, y);
    REQUIRE(line);
    CHECK(line->slope == doctest::Approx(-0.05625).epsilon(1e-12));
    // Five points: 1 of 120 orders has no falling pair and 5 of 120 at most one, so only the outermost slopes bound 95
    // %.
    CHECK(*line->ci95_low == doctest::Approx(-0.15).epsilon(1e-12));
    CHECK(*line->ci95_high == doctest::Approx(0.04).epsilon(1e-12));
}

TEST_CASE("the slope meets the hand-worked trend example") {
    // Series of the published hand-worked Mann-Kendall example (see mann_kendall_test.cpp); slope computed.
    const std::vector<double> y{12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7};
    std::vector<double> x;
    for (std::size_t i = 0; i < y.size(); ++i) x.push_back(static_cast<double>(i));
    const auto line = theil_sen(x, y);
    CHECK(line->slope == doctest::Approx(0.5666667).epsilon(1e-6));
    CHECK(*line->ci95_low > 0.0);
    CHECK(*line->ci95_low < line->slope);
    CHECK(*line->ci95_high > line->slope);
}

TEST_CASE("a straight line is found exactly in any order and one odd point does not move it") {
    const std::vector<double> x{5, 0, 2, 9, 7, 3.5};
    std::vector<double> y;
    for (const double v : x) y.push_back(2.5 * v - 4.0);
    CHECK(theil_sen(x, y)->slope == doctest::Approx(2.5));
    CHECK(theil_sen(x, y)->intercept == doctest::Approx(-4.0));
    y[3] = 1000.0;
    CHECK(theil_sen(x, y)->slope == doctest::Approx(2.5));
}

TEST_CASE("the slope follows the units of both axes and turns round with time") {
    const std::vector<double> x{0, 1.5, 2, 4, 7, 7.5, 9, 11, 12, 15, 16, 20};
    const std::vector<double> y{3, 1, 4, 1.1, 5, 9, 2, 6, 5.3, 3.5, 8, 9.7};
    std::vector<double> weeks, back;
    for (const double v : x) weeks.push_back(v / 7.0);
    for (const double v : x) back.push_back(-v);
    const auto days = theil_sen(x, y);
    CHECK(theil_sen(weeks, y)->slope == doctest::Approx(7.0 * days->slope));
    CHECK(*theil_sen(weeks, y)->ci95_low == doctest::Approx(7.0 * *days->ci95_low));
    CHECK(theil_sen(back, y)->slope == doctest::Approx(-days->slope));
    CHECK(*theil_sen(back, y)->ci95_low == doctest::Approx(-*days->ci95_high));
}

TEST_CASE("the interval leaves out zero exactly when the exact test says so") {
    int left_out = 0;
    unsigned state = 1;
    for (int trial = 0; trial < 300; ++trial) {
        std::vector<double> x, y;
        for (int i = 0; i < 5 + trial % 6; ++i) {
            state = state * 1664525u + 1013904223u;
            x.push_back(i);
            y.push_back(0.25 * i + static_cast<double>(state >> 8) / (1 << 24) * 2.0);
        }
        const auto line = theil_sen(x, y);
        const bool beyond = *line->ci95_low > 0.0 || *line->ci95_high < 0.0;
        CHECK(beyond == (mann_kendall(x, y)->p <= 0.05));
        left_out += beyond;
    }
    CHECK(left_out > 30);
    CHECK(left_out < 270);
}

TEST_CASE("the exact interval covers the true slope at least 95 times in 100") {
    unsigned state = 7;
    int covered = 0;
    for (int trial = 0; trial < 2000; ++trial) {
        std::vector<double> x, y;
        for (int i = 0; i < 8; ++i) {
            state = state * 1664525u + 1013904223u;
            x.push_back(i * i);
            y.push_back(0.3 * x.back() + static_cast<double>(state >> 8) / (1 << 24));
        }
        const auto line = theil_sen(x, y);
        covered += *line->ci95_low <= 0.3 && 0.3 <= *line->ci95_high;
    }
    CHECK(covered >= 1880);
    CHECK(covered <= 1990);
}

TEST_CASE("too few points give no line or no interval") {
    CHECK_FALSE(theil_sen({}, {}));
    const std::array same_day{3.0, 3.0, 3.0};
    const std::array y{1.0, 2.0, 3.0};
    CHECK_FALSE(theil_sen(same_day, y));
    const std::array x{1.0, 2.0, 3.0, 4.0};
    const std::array rising{1.0, 2.0, 3.0, 5.0};
    REQUIRE(theil_sen(x, rising));
    CHECK_FALSE(theil_sen(x, rising)->ci95_low);
    const std::array constant{2.0, 2.0, 2.0, 2.0};
    CHECK(theil_sen(x, constant)->slope == 0.0);
}
