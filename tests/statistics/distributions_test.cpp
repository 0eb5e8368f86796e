#include "tracehold/statistics/distributions.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>
#include <numbers>

using namespace tracehold;

TEST_CASE("the normal distribution meets its closed forms") {
    CHECK(normal_cdf(0.0) == 0.5);
    CHECK(normal_quantile(0.5) == doctest::Approx(0.0).epsilon(1e-15));
    CHECK(normal_quantile(0.975) == doctest::Approx(kZ95).epsilon(1e-14));
    for (const double p : {1e-300, 1e-12, 0.001, 0.2, 0.4999, 0.5001, 0.9, 0.999999}) {
        CAPTURE(p);
        CHECK(normal_cdf(normal_quantile(p)) == doctest::Approx(p).epsilon(1e-11));
    }
}

TEST_CASE("the t distribution with one and two degrees meets its closed forms") {
    for (const double t : {-1e6, -30.0, -2.0, -0.1, 0.0, 0.7, 5.0}) {
        CAPTURE(t);
        // Cauchy distribution, and t / (2 sqrt(2 + t^2)) + 1/2.
        CHECK(student_t_cdf(t, 1) == doctest::Approx(0.5 + std::atan(t) / std::numbers::pi).epsilon(1e-9));
        CHECK(student_t_cdf(t, 2) == doctest::Approx(0.5 + t / (2 * std::sqrt(2 + t * t))).epsilon(1e-9));
    }
    CHECK(student_t_quantile(0.75, 1) == doctest::Approx(1.0).epsilon(1e-13));
}

TEST_CASE("t quantiles agree with values computed to 40 digits") {
    // By mpmath (root of its incomplete beta function); the last by tan(pi (p - 1/2)).
    CHECK(student_t_quantile(0.975, 4) == doctest::Approx(2.7764451051977935).epsilon(1e-12));
    CHECK(student_t_quantile(0.975, 9) == doctest::Approx(2.2621571627982050).epsilon(1e-12));
    CHECK(student_t_quantile(0.995, 30) == doctest::Approx(2.7499956535672250).epsilon(1e-12));
    CHECK(student_t_quantile(0.025, 1) == doctest::Approx(-12.706204736174696).epsilon(1e-12));
}

TEST_CASE("quantile and cdf of t undo each other and are odd about one half") {
    for (const double degrees : {0.5, 1.0, 3.0, 12.0, 200.0, 1e6}) {
        for (const double p : {1e-10, 0.01, 0.3, 0.4999}) {
            CAPTURE(degrees);
            CAPTURE(p);
            const double t = student_t_quantile(p, degrees);
            CHECK(student_t_cdf(t, degrees) == doctest::Approx(p).epsilon(1e-9));
            CHECK(student_t_quantile(1.0 - p, degrees) == doctest::Approx(-t).epsilon(1e-5));
        }
    }
    CHECK(student_t_quantile(0.5, 7) == 0.0);
}

TEST_CASE("t grows into the normal distribution") {
    CHECK(student_t_quantile(0.975, 1e7) == doctest::Approx(kZ95).epsilon(1e-6));
    CHECK(student_t_cdf(-2.0, 1e7) == doctest::Approx(normal_cdf(-2.0)).epsilon(1e-5));
}

TEST_CASE("the incomplete beta function meets its closed forms and its mirror") {
    CHECK(incomplete_beta(1, 3, 0.2) == doctest::Approx(1 - std::pow(0.8, 3)).epsilon(1e-13));
    CHECK(incomplete_beta(4, 1, 0.7) == doctest::Approx(std::pow(0.7, 4)).epsilon(1e-13));
    CHECK(incomplete_beta(2.5, 0.5, 0.3) == doctest::Approx(1 - incomplete_beta(0.5, 2.5, 0.7)).epsilon(1e-12));
    CHECK(incomplete_beta(2, 2, 0.0) == 0.0);
    CHECK(incomplete_beta(2, 2, 1.0) == 1.0);
}
