#include "tracehold/statistics/summary.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

using namespace tracehold;

TEST_CASE("a summary meets values that were worked by hand") {
    const std::array values{2.0, 4.0, 4.0, 4.0, 5.0, 5.0, 7.0, 9.0};
    const Summary s = summarise(values);
    CHECK(s.n == 8);
    CHECK(s.mean == 5.0);
    CHECK(*s.sd == doctest::Approx(std::sqrt(32.0 / 7.0)));
    CHECK(*s.cv_pct == doctest::Approx(20.0 * std::sqrt(32.0 / 7.0)));
    CHECK(s.min == 2.0);
    CHECK(s.max == 9.0);
    // 2.364624: Student t, 7 degrees, 97.5 % (printed tables).
    CHECK(*s.ci95_high - *s.mean == doctest::Approx(2.364624 * *s.sd / std::sqrt(8.0)).epsilon(1e-6));
    CHECK(*s.mean - *s.ci95_low == doctest::Approx(*s.ci95_high - *s.mean));
}

TEST_CASE("a summary of nothing and of one value leaves out what it cannot know") {
    CHECK(summarise({}) == Summary{});
    const std::array one{3.0};
    const Summary s = summarise(one);
    CHECK(s.n == 1);
    CHECK(s.mean == 3.0);
    CHECK(s.min == 3.0);
    CHECK_FALSE(s.sd);
    CHECK_FALSE(s.cv_pct);
    CHECK_FALSE(s.ci95_low);
}

TEST_CASE("equal values have no spread and a mean of zero has no relative spread") {
    const std::array equal{4.0, 4.0, 4.0};
    CHECK(summarise(equal).sd == 0.0);
    CHECK(summarise(equal).ci95_high == 4.0);
    const std::array around_zero{-1.0, 1.0};
    CHECK_FALSE(summarise(around_zero).cv_pct);
    const std::array negative{-3.0, -5.0};
    CHECK(*summarise(negative).cv_pct > 0.0);
}

TEST_CASE("a summary scales and shifts with its values") {
    const std::vector<double> values{0.3, 1.9, 2.2, 7.1};
    std::vector<double> moved;
    for (const double v : values) moved.push_back(10.0 * v + 5.0);
    const Summary a = summarise(values);
    const Summary b = summarise(moved);
    CHECK(*b.mean == doctest::Approx(10.0 * *a.mean + 5.0));
    CHECK(*b.sd == doctest::Approx(10.0 * *a.sd));
    CHECK(*b.ci95_low == doctest::Approx(10.0 * *a.ci95_low + 5.0));
}

TEST_CASE("a quantile of many values is that of their order, whatever they are like") {
    const auto check = [](auto values) {
        auto sorted = values;
        std::sort(sorted.begin(), sorted.end());
        for (const double p : {0.0, 1e-4, 0.05, 0.333, 0.5, 0.95, 0.9999, 1.0}) {
            const double rank = p * static_cast<double>(sorted.size() - 1);
            const auto below = static_cast<std::size_t>(rank);
            const double low = sorted[below], high = sorted[std::min(below + 1, sorted.size() - 1)];
            CHECK(quantile_in_place(values, p) == low + (rank - static_cast<double>(below)) * (high - low));
        }
        auto after = values;
        std::sort(after.begin(), after.end());
        CHECK(after == sorted);  // none was lost
    };
    for (const std::size_t size : {511U, 512U, 513U, 10007U}) {
        std::vector<double> mixed, few, alike(size, 3.0), near, large, rare(size, -1.0);
        for (std::size_t i = 0; i < size; ++i) {
            const double x = std::sin(1e4 * static_cast<double>(i));
            mixed.push_back(x / (1.0 + static_cast<double>(i % 7)));
            few.push_back(static_cast<double>(i * 7919 % 5));
            near.push_back(1.0 + 1e-12 * x);  // the same as floats
            large.push_back(1e300 * x);       // beyond any float
        }
        for (std::size_t i = 0; i < size; i += 97) rare[i] = static_cast<double>(i);
        for (const auto& values : {mixed, few, alike, near, large, rare}) check(values);
        for (const auto& values : {mixed, few, alike, near, rare}) check(std::vector<float>(values.begin(), values.end()));
    }
}

TEST_CASE("a quantile found in place is that of a copy") {
    std::vector<double> values;
    for (int i = 0; i < 101; ++i) values.push_back((i * 37) % 101 + 0.5);
    for (const double p : {0.0, 0.05, 0.333, 0.5, 0.95, 1.0}) {
        std::vector<double> doubles = values;
        std::vector<float> floats(values.begin(), values.end());
        CHECK(quantile_in_place(doubles, p) == quantile(values, p));
        CHECK(quantile_in_place(floats, p) == quantile(values, p));
    }
}

TEST_CASE("quantiles interpolate between order statistics") {
    const std::array values{40.0, 10.0, 30.0, 20.0};
    CHECK(quantile(values, 0.0) == 10.0);
    CHECK(quantile(values, 1.0) == 40.0);
    CHECK(median(values) == 25.0);
    // numpy.quantile([10, 20, 30, 40], [.1, .25]), NumPy's default method.
    CHECK(quantile(values, 0.1) == doctest::Approx(13.0));
    CHECK(quantile(values, 0.25) == doctest::Approx(17.5));
    const std::array one{7.0};
    CHECK(quantile(one, 0.3) == 7.0);
}
