#include "tracehold/statistics/agreement.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <vector>

using namespace tracehold;

namespace {

// Shrout & Fleiss 1979, table 2: 6 targets, 4 judges.
const std::vector<double> kShroutFleiss{9, 2, 5, 8, 6, 1, 3, 2, 8, 4, 6, 8, 7, 1, 2, 6, 10, 5, 6, 9, 6, 2, 4, 7};

// Weir 2005, data set A: 8 persons, trials A1 and A2.
const std::vector<double> kWeirA{146, 140, 148, 152, 170, 152, 90, 99, 157, 145, 156, 153, 176, 167, 205, 218};

}  // namespace

TEST_CASE("the six forms meet the table of Shrout and Fleiss") {
    const auto icc = intraclass_correlations({kShroutFleiss, 6, 4});
    REQUIRE(icc);
    // Shrout & Fleiss 1979, recomputed to four digits.
    CHECK(std::abs(icc->icc_1_1 - 0.1657) < 1e-4);
    CHECK(std::abs(icc->icc_2_1 - 0.2898) < 1e-4);
    CHECK(std::abs(icc->icc_3_1 - 0.7148) < 1e-4);
    CHECK(std::abs(icc->icc_1_k - 0.4428) < 1e-4);
    CHECK(std::abs(icc->icc_2_k - 0.6201) < 1e-4);
    CHECK(std::abs(icc->icc_3_k - 0.9093) < 1e-4);
}

TEST_CASE("the mean of k judges follows from one judge by the Spearman-Brown formula") {
    const auto icc = intraclass_correlations({kShroutFleiss, 6, 4});
    const auto stepped_up = [](double one) { return 4 * one / (1 + 3 * one); };
    CHECK(icc->icc_1_k == doctest::Approx(stepped_up(icc->icc_1_1)));
    CHECK(icc->icc_2_k == doctest::Approx(stepped_up(icc->icc_2_1)));
    CHECK(icc->icc_3_k == doctest::Approx(stepped_up(icc->icc_3_1)));
}

TEST_CASE("agreement ignores unit and zero point and judges that differ by a constant are consistent") {
    std::vector<double> moved;
    for (const double v : kShroutFleiss) moved.push_back(2.5 * v - 7.0);
    CHECK(intraclass_correlations({moved, 6, 4})->icc_2_1 ==
          doctest::Approx(intraclass_correlations({kShroutFleiss, 6, 4})->icc_2_1));
    const std::vector<double> shifted{1, 3, 2, 4, 5, 7};
    const auto icc = intraclass_correlations({shifted, 3, 2});
    CHECK(icc->icc_3_1 == doctest::Approx(1.0));
    CHECK(icc->icc_2_1 < 0.9);
}

TEST_CASE("measurement error meets Weir's worked example") {
    const auto sem = standard_error_of_measurement({kWeirA, 8, 2});
    REQUIRE(sem);
    // Weir 2005, data set A: 7.6 printed, recomputed to more digits.
    CHECK(std::abs(*sem - 7.556927) < 1e-5);
    CHECK(std::abs(minimal_detectable_change_95(*sem) - 20.9467) < 1e-4);
}

TEST_CASE("measurement error of two trials is the spread of their differences over root two") {
    std::vector<double> first, second;
    for (std::size_t i = 0; i < kWeirA.size(); i += 2) {
        first.push_back(kWeirA[i]);
        second.push_back(kWeirA[i + 1]);
    }
    CHECK(*standard_error_of_measurement({kWeirA, 8, 2}) ==
          doctest::Approx(bland_altman(first, second)->sd / std::sqrt(2.0)));
}

TEST_CASE("limits of agreement meet the example of Bland and Altman") {
    // Bland & Altman 1986, peak flow by two meters, first readings (data from memory; printed: mean difference -2.1,
    // standard deviation 38.8, limits -79.7 and 75.5, standard error of the limits 16.3).
    const std::vector<double> large{494, 395, 516, 434, 476, 557, 413, 442, 650,
                                    433, 417, 656, 267, 478, 178, 423, 427};
    const std::vector<double> mini{512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451};
    const auto result = bland_altman(large, mini);
    REQUIRE(result);
    CHECK(result->n == 17);
    CHECK(std::abs(result->bias + 2.1) < 0.05);
    CHECK(std::abs(result->sd - 38.8) < 0.05);
    CHECK(std::abs(result->lower + 78.1) < 0.1);  // printed -79.7 with 2 SD; 1.96 SD here
    CHECK(std::abs(result->upper - 73.9) < 0.1);
    CHECK(std::abs(result->limit_error - 16.3) < 0.05);
}

TEST_CASE("too small a table and one in which nothing varies have no agreement") {
    CHECK_FALSE(intraclass_correlations({std::array{1.0, 2.0}, 1, 2}));
    CHECK_FALSE(intraclass_correlations({std::array{1.0, 2.0}, 2, 1}));
    CHECK_FALSE(intraclass_correlations({std::array{3.0, 3.0, 3.0, 3.0}, 2, 2}));
    CHECK_FALSE(standard_error_of_measurement({{}, 0, 0}));
    CHECK_FALSE(bland_altman(std::array{1.0}, std::array{2.0}));
}
