#include "tracehold/statistics/proportions.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "tracehold/statistics/distributions.hpp"

using namespace tracehold;

TEST_CASE("the score interval meets Newcombe's examples") {
    // Data of Newcombe 1998, table I (from memory), bounds recomputed.
    const auto a = wilson(81, 263);
    REQUIRE(a);
    CHECK(a->share == doctest::Approx(81.0 / 263.0));
    CHECK(std::abs(a->ci95_low - 0.255289) < 1e-6);
    CHECK(std::abs(a->ci95_high - 0.366210) < 1e-6);
    const auto none = wilson(0, 20);
    CHECK(none->ci95_low == 0.0);
    CHECK(std::abs(none->ci95_high - 0.161125) < 1e-6);
}

TEST_CASE("each bound is where the score test just rejects") {
    for (const auto& [count, total] : {std::pair{3, 10}, {50, 80}, {1, 400}}) {
        const auto share = wilson(static_cast<std::size_t>(count), static_cast<std::size_t>(total));
        for (const double bound : {share->ci95_low, share->ci95_high}) {
            const double z = (share->share - bound) / std::sqrt(bound * (1 - bound) / total);
            CHECK(std::abs(z) == doctest::Approx(kZ95).epsilon(1e-9));
        }
    }
}

TEST_CASE("the interval mirrors with the count and stays within 0 and 1") {
    for (std::size_t count = 0; count <= 7; ++count) {
        const auto share = wilson(count, 7);
        const auto rest = wilson(7 - count, 7);
        CHECK(share->ci95_low == doctest::Approx(1.0 - rest->ci95_high));
        CHECK(share->ci95_low >= 0.0);
        CHECK(share->ci95_high <= 1.0);
        CHECK(share->ci95_low <= share->share);
        CHECK(share->ci95_high >= share->share);
    }
    CHECK(wilson(7, 7)->ci95_high == 1.0);
}

TEST_CASE("no total no share") {
    CHECK_FALSE(wilson(0, 0));
    CHECK_FALSE(wilson(3, 2));
}
