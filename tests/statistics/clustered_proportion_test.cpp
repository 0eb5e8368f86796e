#include "tracehold/statistics/clustered_proportion.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <vector>

using namespace tracehold;

namespace {

std::vector<Cluster> repeated(const std::vector<Cluster>& clusters, std::size_t times) {
    std::vector<Cluster> many;
    for (std::size_t i = 0; i < times; ++i) many.insert(many.end(), clusters.begin(), clusters.end());
    return many;
}

}  // namespace

TEST_CASE("one thing a person is almost the plain Wilson interval") {
    std::vector<Cluster> clusters(200, Cluster{1, 1});
    clusters.resize(263 * 4, Cluster{0, 1});
    const auto share = clustered_proportion(clusters), plain = wilson(200, 263 * 4);
    REQUIRE(share);
    CHECK(share->share == plain->share);
    CHECK(share->ci95_low == doctest::Approx(plain->ci95_low).epsilon(1e-3));
    CHECK(share->ci95_high == doctest::Approx(plain->ci95_high).epsilon(1e-3));
}

TEST_CASE("people who are all alike inside are worth one thing each") {
    // 10 of 20 people with 7 things each, all or none: the variance is that of 20 independent things, times 20/19.
    const auto share = clustered_proportion(repeated({{7, 7}, {0, 7}}, 10));
    const auto people = wilson(10, 20), nineteen = wilson(9, 18);
    CHECK(share->share == 0.5);
    CHECK(share->ci95_low < people->ci95_low);
    CHECK(share->ci95_low > nineteen->ci95_low);
}

TEST_CASE("all or none or one person are worth one a person") {
    const auto all = clustered_proportion(repeated({{50, 50}}, 20));
    CHECK(all->ci95_low == doctest::Approx(wilson(20, 20)->ci95_low));
    CHECK(all->ci95_high == 1.0);
    const auto none = clustered_proportion(repeated({{0, 50}}, 20));
    CHECK(none->ci95_high == doctest::Approx(wilson(0, 20)->ci95_high));
    const auto one = clustered_proportion(std::vector<Cluster>{{90, 100}});
    CHECK(one->share == doctest::Approx(0.9));
    CHECK(one->ci95_high - one->ci95_low > 0.6);
}

TEST_CASE("order changes no digit and empty people nothing") {
    std::mt19937 random(3);
    std::vector<Cluster> clusters;
    for (std::size_t i = 0; i < 100; ++i) clusters.push_back({random() % 20, 20 + random() % 50});
    const auto share = clustered_proportion(clusters);
    std::reverse(clusters.begin(), clusters.end());
    clusters.push_back({0, 0});
    CHECK(clustered_proportion(clusters) == share);
    CHECK_FALSE(clustered_proportion(std::vector<Cluster>{}));
    CHECK_FALSE(clustered_proportion(std::vector<Cluster>{{0, 0}}));
}

TEST_CASE("the interval holds the truth about as often as stated where people differ") {
    // 40 people whose own shares spread between 0.5 and 1 with 20 things each: plain Wilson on 800 things would fail.
    std::mt19937 random(5);
    std::uniform_real_distribution<double> own(0.5, 1.0);
    int held = 0, held_plain = 0;
    constexpr int kTries = 1000;
    for (int i = 0; i < kTries; ++i) {
        std::vector<Cluster> clusters;
        std::size_t count = 0;
        for (int person = 0; person < 40; ++person) {
            std::binomial_distribution<int> things(20, own(random));
            clusters.push_back({static_cast<std::size_t>(things(random)), 20});
            count += clusters.back().count;
        }
        const auto share = clustered_proportion(clusters), plain = wilson(count, 800);
        held += share->ci95_low <= 0.75 && 0.75 <= share->ci95_high ? 1 : 0;
        held_plain += plain->ci95_low <= 0.75 && 0.75 <= plain->ci95_high ? 1 : 0;
    }
    CHECK(held > 920);
    CHECK(held < 980);
    CHECK(held_plain < 900);
}
