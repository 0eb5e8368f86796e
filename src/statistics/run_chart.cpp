#include "tracehold/statistics/run_chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tracehold/statistics/binomial.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

void follow_sides(RunChart& chart, std::span<const double> values) {
    bool above = false;
    std::size_t run = 0;
    for (const double value : values) {
        if (value == chart.median) continue;
        const bool is_above = value > chart.median;
        const bool crossed = chart.useful > 0 && is_above != above;
        run = crossed ? 1 : run + 1;
        chart.crossings += crossed ? 1 : 0;
        chart.longest_run = std::max(chart.longest_run, run);
        above = is_above;
        ++chart.useful;
    }
}

}  // namespace

RunChart run_chart(std::span<const double> values) {
    RunChart chart;
    chart.n = values.size();
    if (!values.empty()) chart.median = median(values);
    follow_sides(chart, values);
    if (chart.useful < kRunChartPoints) {
        chart.reason = fmt::format("too few points: {} off the median, {} are needed", chart.useful,
                                   kRunChartPoints);
        return chart;
    }
    chart.longest_allowed = static_cast<std::size_t>(std::lround(std::log2(static_cast<double>(chart.useful)) + 3.0));
    chart.fewest_crossings = binomial_quantile(0.05, chart.useful - 1, 0.5);
    chart.long_run = chart.longest_run > *chart.longest_allowed;
    chart.few_crossings = chart.crossings < *chart.fewest_crossings;
    return chart;
}

}  // namespace tracehold
