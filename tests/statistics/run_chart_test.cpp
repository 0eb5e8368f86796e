#include "tracehold/statistics/run_chart.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <vector>

using namespace tracehold;

namespace {

// n points that change sides at every step.
std::vector<double> to_and_fro(std::size_t n) {
    std::vector<double> values;
    for (std::size_t i = 0; i < n; ++i) values.push_back(i % 2 == 0 ? 1.0 : 3.0);
    return values;
}

}  // namespace

// Rules: Anhoej & Olesen, PLoS ONE 2014; the table recomputed from them.
TEST_CASE("allowed run and least crossings meet the table") {
    struct Row {
        std::size_t n, longest, fewest;
    };
    for (const Row& row : {Row{10, 6, 2}, Row{12, 7, 3}, Row{14, 7, 4}, Row{16, 7, 4}, Row{20, 7, 6}, Row{24, 8, 8},
                           Row{28, 8, 9}}) {
        const RunChart chart = run_chart(to_and_fro(row.n));
        CHECK(chart.useful == row.n);
        CHECK(chart.longest_allowed == row.longest);
        CHECK(chart.fewest_crossings == row.fewest);
        CHECK(chart.crossings == row.n - 1);
        CHECK(chart.longest_run == 1);
        CHECK(chart.long_run == false);
        CHECK(chart.few_crossings == false);
    }
}

TEST_CASE("a shift half way gives both signals") {
    std::vector<double> values(10, 1.0);
    values.insert(values.end(), 10, 2.0);
    const RunChart chart = run_chart(values);
    CHECK(chart.median == 1.5);
    CHECK(chart.longest_run == 10);
    CHECK(chart.crossings == 1);
    CHECK(chart.long_run == true);
    CHECK(chart.few_crossings == true);
}

TEST_CASE("points on the median neither break nor lengthen a run") {
    const RunChart chart = run_chart(std::vector<double>{1, 1, 5, 1, 9, 9, 5});
    CHECK(chart.median == 5.0);
    CHECK(chart.useful == 5);
    CHECK(chart.longest_run == 3);
    CHECK(chart.crossings == 1);
}

TEST_CASE("scale shift and reversal change no count") {
    std::mt19937 random(7);
    std::vector<double> values;
    for (int i = 0; i < 25; ++i) values.push_back(static_cast<double>(random() % 40));
    const RunChart chart = run_chart(values);
    std::vector<double> other(values.rbegin(), values.rend());
    for (double& value : other) value = 4.0 * value + 100.0;
    const RunChart turned = run_chart(other);
    CHECK(turned.median == 4.0 * chart.median + 100.0);
    CHECK(turned.longest_run == chart.longest_run);
    CHECK(turned.crossings == chart.crossings);
    CHECK(turned.long_run == chart.long_run);
}

TEST_CASE("too few points give no verdict") {
    for (const std::vector<double>& values : {std::vector<double>{}, {0.4}, std::vector<double>(30, 0.4), to_and_fro(9)}) {
        const RunChart chart = run_chart(values);
        CHECK_FALSE(chart.long_run);
        CHECK_FALSE(chart.few_crossings);
        CHECK(chart.reason.find("too few points") == 0);
    }
    CHECK(run_chart(to_and_fro(10)).reason.empty());
}

// The paper reports about 5 % for the crossings rule and less for runs; both together stay below 10 %.
TEST_CASE("independent points seldom give a signal") {
    std::mt19937 random(11);
    std::normal_distribution<double> normal;
    int signals = 0;
    constexpr int kCharts = 2000;
    for (int chart = 0; chart < kCharts; ++chart) {
        std::vector<double> values(24);
        for (double& value : values) value = normal(random);
        const RunChart run = run_chart(values);
        signals += *run.long_run || *run.few_crossings ? 1 : 0;
    }
    CHECK(signals < kCharts / 10);
    CHECK(signals > kCharts / 100);
}
