#include "tracehold/statistics/xmr_chart.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace tracehold;

namespace {

bool has(const XmrChart& chart, std::size_t point, std::string_view rule) {
    return std::find(chart.signals.begin(), chart.signals.end(), XmrSignal{point, rule}) != chart.signals.end();
}

// Mean 0 and every moving range 3.
std::vector<double> quiet_baseline() {
    std::vector<double> values;
    for (int i = 0; i < 14; ++i) values.push_back(i % 2 == 0 ? 1.5 : -1.5);
    return values;
}

XmrChart with_tail(std::vector<double> tail, XmrRules rules = XmrRules::western_electric) {
    std::vector<double> values = quiet_baseline();
    values.insert(values.end(), tail.begin(), tail.end());
    return *xmr_chart(values, {.rules = rules, .baseline = 14, .limit_factor = 3.0, .range_factor = 100.0});
}

}  // namespace

TEST_CASE("limits meet the example of the NIST handbook") {
    // NIST/SEMATECH e-Handbook, 6.3.2.2; data from memory, limits recomputed with the factor 2.66.
    const std::vector<double> values = {49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
    const auto chart = xmr_chart(values);
    REQUIRE(chart);
    CHECK(std::abs(chart->mean - 50.81) < 1e-9);
    CHECK(std::abs(chart->high - 55.8049) < 1e-4);
    CHECK(std::abs(chart->low - 45.8151) < 1e-4);
    CHECK(chart->reason.find("too few points") == 0);
    CHECK(chart->signals.empty());
}

TEST_CASE("limits with the unrounded factor meet a second example") {
    // Computed by hand from 3 sqrt(pi) / 2 = 2.65868 and D4 = 3.267; common practice, no source.
    const std::vector<double> values = {21.4, 19.8, 22.0, 20.5, 23.1, 21.9, 20.2};
    XmrSettings settings;
    settings.limit_factor = 2.6586807763582736;
    settings.range_factor = 3.267;
    const auto chart = xmr_chart(values, settings);
    REQUIRE(chart);
    CHECK(std::abs(chart->mean - 21.2714) < 1e-4);
    CHECK(std::abs(chart->mean_range - 1.8) < 1e-9);
    CHECK(std::abs(chart->low - 16.4858) < 1e-4);
    CHECK(std::abs(chart->high - 26.0571) < 1e-4);
    CHECK(std::abs(chart->range_limit - 5.8806) < 1e-4);
}

TEST_CASE("a staircase has the limits of its step") {
    // x = 0 2 4 ...: every moving range is 2.
    std::vector<double> values;
    for (int i = 0; i < 15; ++i) values.push_back(2.0 * i);
    const auto chart = xmr_chart(values);
    CHECK(chart->mean == 14.0);
    CHECK(chart->high == doctest::Approx(14.0 + 5.32));
    CHECK(chart->low == doctest::Approx(14.0 - 5.32));
    CHECK(chart->range_limit == doctest::Approx(6.536));
    CHECK(has(*chart, 0, "beyond_limit"));
    CHECK(has(*chart, 14, "beyond_limit"));
    CHECK_FALSE(has(*chart, 7, "beyond_limit"));
}

// Limits at -+ 9, thirds at 3 and 6. Western Electric handbook 1956 (memory).
TEST_CASE("each rule signals where its pattern is complete and not before") {
    CHECK(with_tail({1, -1, 2, -2}).signals.empty());
    CHECK(has(with_tail({9.1}), 14, "beyond_limit"));
    CHECK_FALSE(has(with_tail({9.0}), 14, "beyond_limit"));
    CHECK(has(with_tail({6.1, 0, 6.1}), 16, "two_of_three"));
    CHECK_FALSE(has(with_tail({6.1, 0, -6.1}), 16, "two_of_three"));
    CHECK_FALSE(has(with_tail({6.1, 6.1, 0}), 16, "two_of_three"));  // the point itself must take part
    CHECK(has(with_tail({6.1, 6.1, 0}), 15, "two_of_three"));
    CHECK(has(with_tail({3.1, 3.1, 0, 3.1, 3.1}), 18, "four_of_five"));
    CHECK_FALSE(has(with_tail({3.1, 3.1, 0, 0, 3.1}), 18, "four_of_five"));
    const XmrChart eight = with_tail({1, 1, 1, 1, 1, 1, 1, 1});  // the point before is at -1.5
    CHECK(has(eight, 21, "eight_in_a_row"));
    CHECK_FALSE(has(eight, 20, "eight_in_a_row"));
}

TEST_CASE("the smaller rule set knows one pattern of points") {
    const XmrChart chart = with_tail({6.1, 6.1, 6.1, 9.1}, XmrRules::shewhart);
    CHECK(chart.rules == XmrRules::shewhart);
    REQUIRE(chart.signals.size() == 1);
    CHECK(chart.signals[0] == XmrSignal{17, "beyond_limit"});
}

TEST_CASE("later points do not move frozen limits") {
    const XmrChart quiet = with_tail({}), wild = with_tail({50, -50, 50});
    CHECK(wild.mean == quiet.mean);
    CHECK(wild.high == quiet.high);
    CHECK(wild.baseline == 14);
    CHECK(wild.n == 17);
}

TEST_CASE("scale and shift move the chart along") {
    const std::vector<double> values = {5, 7, 4, 8, 5, 6, 9, 4, 5, 7, 6, 30, 5, 6};
    std::vector<double> other;
    for (const double value : values) other.push_back(2.0 * value - 3.0);
    const auto a = xmr_chart(values), b = xmr_chart(other);
    CHECK(b->high == doctest::Approx(2.0 * a->high - 3.0));
    CHECK(b->range_limit == doctest::Approx(2.0 * a->range_limit));
    CHECK(a->signals == b->signals);
    CHECK(has(*a, 11, "beyond_limit"));
    CHECK(has(*a, 11, "moving_range"));
}

TEST_CASE("no chart without two points and no verdict without variation") {
    CHECK_FALSE(xmr_chart(std::vector<double>{}));
    CHECK_FALSE(xmr_chart(std::vector<double>{3.0}));
    CHECK_FALSE(xmr_chart(std::vector<double>{3.0, 4.0}, {.baseline = 1}));
    const auto flat = xmr_chart(std::vector<double>(20, 0.9));
    REQUIRE(flat);
    CHECK(flat->reason == "the baseline never varies");
    CHECK(flat->signals.empty());
    CHECK(to_string(flat->rules) == "western_electric");
    CHECK(describe(XmrRules::shewhart).find("Shewhart") == 0);
}
