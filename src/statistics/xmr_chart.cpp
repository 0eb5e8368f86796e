// Limits: mean -+ 2.66 mean moving range. The zone rules measure in thirds of the way to a limit. Each rule looks at the
// stretch that ends with a point, and the point itself must take part: one signal a rule and point.
#include "tracehold/statistics/xmr_chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace tracehold {
namespace {

struct ZoneRule {
    std::string_view name;
    std::size_t needed, of;
    double thirds;  // beyond this many thirds of the way from mean to limit
    bool western_only;
};

constexpr ZoneRule kZoneRules[] = {
    {"beyond_limit", 1, 1, 3.0, false},
    {"two_of_three", 2, 3, 2.0, true},
    {"four_of_five", 4, 5, 1.0, true},
    {"eight_in_a_row", 8, 8, 0.0, true},
};

double mean_of(std::span<const double> values) {
    return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

std::vector<double> moving_ranges(std::span<const double> values) {
    std::vector<double> ranges;
    for (std::size_t i = 1; i < values.size(); ++i) ranges.push_back(std::abs(values[i] - values[i - 1]));
    return ranges;
}

bool completes(const ZoneRule& rule, std::span<const double> values, std::size_t point, const XmrChart& chart) {
    if (point + 1 < rule.of) return false;
    const double third = (chart.high - chart.mean) / 3.0;
    for (const double side : {1.0, -1.0}) {
        const auto beyond = [&](double value) { return side * (value - chart.mean) > rule.thirds * third; };
        const auto stretch = values.subspan(point + 1 - rule.of, rule.of);
        const auto count = static_cast<std::size_t>(std::count_if(stretch.begin(), stretch.end(), beyond));
        if (beyond(values[point]) && count >= rule.needed) return true;
    }
    return false;
}

void find_signals(XmrChart& chart, std::span<const double> values) {
    for (std::size_t i = 0; i < values.size(); ++i) {
        for (const ZoneRule& rule : kZoneRules) {
            if (rule.western_only && chart.rules != XmrRules::western_electric) continue;
            if (completes(rule, values, i, chart)) chart.signals.push_back({i, rule.name});
        }
        if (i > 0 && std::abs(values[i] - values[i - 1]) > chart.range_limit) {
            chart.signals.push_back({i, "moving_range"});
        }
    }
}

}  // namespace

std::string_view to_string(XmrRules rules) {
    return rules == XmrRules::shewhart ? "shewhart" : "western_electric";
}

std::string_view describe(XmrRules rules) {
    if (rules == XmrRules::shewhart) return "Shewhart: one point beyond a limit, or one moving range beyond its own";
    return "Western Electric: one point beyond a limit; two of three beyond two thirds of the way to it; four of five "
           "beyond one third; eight in a row on one side; or one moving range beyond its own limit";
}

std::optional<XmrChart> xmr_chart(std::span<const double> values, const XmrSettings& settings) {
    XmrChart chart;
    chart.rules = settings.rules;
    chart.n = values.size();
    chart.baseline = std::min(values.size(), settings.baseline.value_or(values.size()));
    if (chart.baseline < 2) return std::nullopt;
    const auto base = values.first(chart.baseline);
    chart.mean = mean_of(base);
    chart.mean_range = mean_of(moving_ranges(base));
    chart.low = chart.mean - settings.limit_factor * chart.mean_range;
    chart.high = chart.mean + settings.limit_factor * chart.mean_range;
    chart.range_limit = settings.range_factor * chart.mean_range;
    if (chart.baseline < kXmrPoints) {
        chart.reason = fmt::format("too few points: {} in the baseline, {} are needed", chart.baseline, kXmrPoints);
    } else if (chart.mean_range <= 0.0) {
        chart.reason = "the baseline never varies";
    } else {
        find_signals(chart, values);
    }
    return chart;
}

}  // namespace tracehold
