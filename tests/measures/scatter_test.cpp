// Standard errors: what the scatter of an envelope says, the forms of its error, and lines through few points.
#include <doctest/doctest.h>

#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>
#include <vector>

#include "measures/bandwidth.hpp"
#include "measures/line.hpp"
#include "measures/made_session.hpp"
#include "measures/window.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

Envelope independent(std::size_t samples, double rate_hz, double mean, double sd, std::uint64_t seed = 11) {
    std::mt19937_64 random(seed);
    std::normal_distribution<double> normal;
    Envelope envelope;
    envelope.rate = Hertz{rate_hz};
    for (std::size_t i = 0; i < samples; ++i) envelope.uv.push_back(static_cast<float>(mean + sd * normal(random)));
    return envelope;
}

}  // namespace

TEST_CASE("independent samples have the bandwidth that their scatter stands for with and without masks") {
    // B = mean^2 / (4 s^2 tau) with tau one sample step: 400 / (4 * 1 / 20) = 2000 Hz. The sum up to the first
    // correlation below 0 reads tau a little long: some per cent at 4000 samples.
    double whole_hz = 0.0, masked_hz = 0.0;
    for (std::uint64_t seed = 1; seed <= 50; ++seed) {
        Envelope envelope = independent(4000, 20, 20.0, 1.0, seed);
        whole_hz += *bandwidth_from_scatter_hz(envelope, {0, 200}) / 50;
        for (std::size_t i = 0; i < envelope.uv.size(); i += 10) envelope.uv[i] = kMasked;
        masked_hz += *bandwidth_from_scatter_hz(envelope, {0, 200}) / 50;
    }
    MESSAGE("whole " << whole_hz << " Hz, every tenth masked " << masked_hz << " Hz");
    CHECK(whole_hz == doctest::Approx(1950.0).epsilon(0.05));
    CHECK(masked_hz == doctest::Approx(1950.0).epsilon(0.05));
}

TEST_CASE("a scatter cannot be told from fewer than 8 samples nor where there is none") {
    CHECK(bandwidth_from_scatter_hz(independent(8, 10, 20, 1), {0, 0.8}));
    CHECK_FALSE(bandwidth_from_scatter_hz(independent(8, 10, 20, 1), {0, 0.7}));
    Envelope line = made_envelope(10, 5, [](double t) { return 3.0 + t; });
    CHECK_FALSE(bandwidth_from_scatter_hz(line, {0, 5}));
    Envelope masked = independent(100, 10, 20, 1);
    mask(masked, 0, 3.1);
    CHECK_FALSE(bandwidth_from_scatter_hz(masked, {0, 10}));
    CHECK(bandwidth_from_scatter_hz(masked, {4, 10}));
}

TEST_CASE("the error of a mean follows its formula in each kind of envelope") {
    Envelope envelope = made_envelope(100, 10, [](double) { return 20.0; });
    const auto error = [&] { return error_of_mean(envelope, window_of(envelope, {0, 4}), 25.0); };
    CHECK(*error() == doctest::Approx(20.0 / (2.0 * std::sqrt(25.0 * 4.0))));
    envelope.method = EnvelopeMethod::rectified;  // scatters sqrt(pi - 2) times as much
    CHECK(*error() == doctest::Approx(std::sqrt(std::numbers::pi - 2.0)));
    envelope.method = EnvelopeMethod::moving_rms;
    envelope.noise_subtracted = true;  // 20 is left of sqrt(20^2 + 15^2) = 25: the slope of the root is 25 / 20
    envelope.noise_floor_uv = 15.0;
    CHECK(*error() == doctest::Approx(25.0 / 20.0 * 25.0 / 20.0));
}

TEST_CASE("no error is stated without a bandwidth or a level or a valid sample") {
    Envelope envelope = made_envelope(100, 10, [](double) { return 20.0; });
    CHECK_FALSE(error_of_mean(envelope, window_of(envelope, {0, 4}), std::nullopt));
    CHECK_FALSE(error_of_mean(envelope, window_of(envelope, {20, 24}), 25.0));
    for (float& e : envelope.uv) e = 0.0f;
    CHECK_FALSE(error_of_mean(envelope, window_of(envelope, {0, 4}), 25.0));
}

TEST_CASE("the median errs by its factor more than the mean") {
    Envelope envelope = made_envelope(100, 10, [](double) { return 20.0; });
    const Estimate mean = mean_of(envelope, window_of(envelope, {0, 4}), 25.0), median = median_of(envelope, window_of(envelope, {0, 4}), 25.0);
    CHECK(*median.value == 20.0);
    CHECK(*median.error / *mean.error == doctest::Approx(std::sqrt(std::numbers::pi - 2.0)));
    CHECK_FALSE(median_of(envelope, window_of(envelope, {0, 4}), std::nullopt).error);
}

TEST_CASE("a line needs two different times and three points for its scatter") {
    const std::vector<double> none, one{1.0}, same{2.0, 2.0}, two{0.0, 2.0}, three{0.0, 1.0, 2.0};
    CHECK_FALSE(line_through(none, none));
    CHECK_FALSE(line_through(one, one));
    CHECK_FALSE(line_through(same, two));
    const auto through_two = line_through(two, std::vector<double>{1.0, 7.0});
    REQUIRE(through_two);
    CHECK(through_two->slope == 3.0);
    CHECK(through_two->start == 1.0);
    CHECK(through_two->mean == 4.0);
    CHECK(through_two->residual_sd == 0.0);
    CHECK(through_two->n == 2);
    // 0, 3, 0: level line at 1, squares 1 + 4 + 1 over n - 2 = 1.
    const auto through_three = line_through(three, std::vector<double>{0.0, 3.0, 0.0});
    REQUIRE(through_three);
    CHECK(through_three->slope == 0.0);
    CHECK(through_three->residual_sd == doctest::Approx(std::sqrt(6.0)));
    CHECK(through_three->at(1.5) == doctest::Approx(1.0));
}

TEST_CASE("means over a second slide by one sample and want seven tenths of it") {
    Envelope envelope = made_envelope(10, 2, [](double t) { return t < 0.95 ? 1.0 : 2.0; });
    const SecondMeans means = second_means(envelope, {0, 20});
    CHECK(means.length == 10);
    REQUIRE(means.uv.size() == 11);
    for (std::size_t j = 0; j < 11; ++j) CHECK(means.uv[j] == doctest::Approx(1.0 + 0.1 * static_cast<double>(j)));
    CHECK(largest(means, 100) == 10);
    CHECK(largest(means, 5) == 4);
    CHECK_FALSE(largest(means, 0));
    CHECK(second_means(envelope, {0, 9}).uv.empty());
    mask(envelope, 0, 0.3);
    CHECK(second_means(envelope, {0, 20}).uv[0] == doctest::Approx(1.0));
    mask(envelope, 0, 0.4);
    CHECK(std::isnan(second_means(envelope, {0, 20}).uv[0]));
    CHECK_FALSE(largest(second_means(envelope, {0, 10}), 1));
}

TEST_CASE("of equal means the first is the largest") {
    CHECK(largest({2, {1.0, 3.0, 3.0, 2.0}}, 4) == 1);
    CHECK(largest({2, {std::nan(""), 3.0, 4.0}}, 3) == 2);
}
