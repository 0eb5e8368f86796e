// Charts of an audit: months around their median and within natural limits; groups within what chance explains.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/audit_sections.hpp"
#include "report/audit_text.hpp"
#include "report/en/audit.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr double kMargin = 0.5;          // months or people beside the first and the last point
constexpr double kFunnelRoom = 1.15;     // beyond the largest group
constexpr std::size_t kMostSteps = 200;  // of a limit's line

// "2026-03" as months since year 0.
double month_number(const std::string& month) {
    const auto year = parse_whole(month.substr(0, 4)), number = parse_whole(month.substr(5));
    return 12.0 * static_cast<double>(year.value_or(0)) + static_cast<double>(number.value_or(1)) - 1.0;
}

const AuditRow& row_of(const AuditMeasure& measure, std::size_t point) {
    return measure.months[measure.series.points[point]];
}

std::vector<double> shares_of(const AuditMeasure& measure) {
    std::vector<double> shares;
    for (std::size_t i = 0; i < measure.series.points.size(); ++i) shares.push_back(*row_of(measure, i).cell.share);
    return shares;
}

std::string rule_text(std::string_view rule) {
    std::string text(rule);
    std::replace(text.begin(), text.end(), '_', ' ');
    return text;
}

// "2026-03, 2026-06 to 2026-09"; "" where the rule signals nowhere.
std::string months_of_rule(const AuditMeasure& measure, std::string_view rule) {
    std::vector<std::size_t> points;
    for (const XmrSignal& signal : measure.series.xmr->signals) {
        if (signal.rule == rule) points.push_back(signal.point);
    }
    std::string text;
    for (std::size_t begin = 0, end = 0; begin < points.size(); begin = end) {
        while (end < points.size() && points[end] - points[begin] == end - begin) ++end;
        text += (text.empty() ? "" : ", ") + row_of(measure, points[begin]).group;
        if (end - begin > 1) text += " to " + row_of(measure, points[end - 1]).group;
    }
    return text;
}

// A month's rules, "" where it completes none.
std::string rules_at(const XmrChart& chart, std::size_t point, bool ranges) {
    std::string rules;
    for (const XmrSignal& signal : chart.signals) {
        if (signal.point != point || (signal.rule == "moving_range") != ranges) continue;
        rules += (rules.empty() ? "" : ", ") + rule_text(signal.rule);
    }
    return rules;
}

void add_level(Chart& chart, ChartRole role, std::string_view label, double y) {
    const auto from = static_cast<float>(chart.x.low), to = static_cast<float>(chart.x.high);
    const auto value = static_cast<float>(y);
    chart.lines.push_back({role, std::string(label), {from, to}, {value, value}});
}

Chart over_months(const AuditMeasure& measure, std::string_view title) {
    Chart chart{std::string(title)};
    chart.anchor = words::kChartsAnchor;
    chart.x = {words::kMonth, "", AxisScale::months, month_number(row_of(measure, 0).group) - kMargin,
               month_number(row_of(measure, measure.series.points.size() - 1).group) + kMargin};
    chart.y = {"", "%", AxisScale::linear, 0.0, 100.0};
    return chart;
}

// The points and the line through them.
void add_points(Chart& chart, const AuditMeasure& measure, const std::vector<double>& shares, bool ranges) {
    ChartLine line{ChartRole::data, words::kMonthShare};
    for (std::size_t i = ranges ? 1 : 0; i < shares.size(); ++i) {
        const std::string& month = row_of(measure, i).group;
        const double share = ranges ? std::abs(shares[i] - shares[i - 1]) : shares[i];
        const std::string rules = measure.series.xmr ? rules_at(*measure.series.xmr, i, ranges) : "";
        const std::string name = fmt::format("{}: {}{}", month, percent_text(share), rules.empty() ? "" : ", " + rules);
        chart.points.push_back(
            {month_number(month), 100.0 * share, {}, {}, rules.empty() ? PointShape::disc : PointShape::diamond, name});
        line.x.push_back(static_cast<float>(month_number(month)));
        line.y.push_back(static_cast<float>(100.0 * share));
    }
    if (!ranges) chart.lines.push_back(std::move(line));
}

Chart run_figure(const AuditMeasure& measure, const std::vector<double>& shares) {
    Chart chart = over_months(measure, words::kRunChart);
    chart.description = fmt::format(words::kRunSays, shares.size(), percent_text(measure.series.run.median),
                                    run_text(measure.series.run));
    add_points(chart, measure, shares, false);
    for (ChartPoint& point : chart.points) point.shape = PointShape::disc;  // the other chart's rules
    add_level(chart, ChartRole::centre, words::kMedianOfMonths, 100.0 * measure.series.run.median);
    return chart;
}

std::string limit_text(double share) { return percent_text(std::clamp(share, 0.0, 1.0)); }

// What lies between is spread over the whole height, in steps of 10 %.
void fit_shares(Chart& chart) {
    double low = 100.0, high = 0.0;
    for (const ChartLine& line : chart.lines) {
        for (const double y : line.y) low = std::min(low, y), high = std::max(high, y);
    }
    chart.y.low = std::max(0.0, 10.0 * std::floor(low / 10.0 - 0.2));
    chart.y.high = std::min(100.0, 10.0 * std::ceil(high / 10.0 + 0.2));
}

Chart individuals(const AuditMeasure& measure, const std::vector<double>& shares) {
    const XmrChart& xmr = *measure.series.xmr;
    Chart chart = over_months(measure, words::kXmr);
    chart.description = fmt::format(words::kXmrSays, percent_text(xmr.mean), limit_text(xmr.low), limit_text(xmr.high),
                                    xmr_text(measure));
    add_points(chart, measure, shares, false);
    add_level(chart, ChartRole::centre, words::kMeanOfMonths, 100.0 * xmr.mean);
    for (const double limit : {xmr.low, xmr.high}) {
        if (limit >= 0.0 && limit <= 1.0) add_level(chart, ChartRole::limit, words::kNaturalLimits, 100.0 * limit);
    }
    fit_shares(chart);
    return chart;
}

Chart ranges(const AuditMeasure& measure, const std::vector<double>& shares) {
    const XmrChart& xmr = *measure.series.xmr;
    Chart chart = over_months(measure, words::kRange);
    chart.description = fmt::format(words::kRangeSays, percent_text(xmr.mean_range), percent_text(xmr.range_limit));
    add_points(chart, measure, shares, true);
    add_level(chart, ChartRole::centre, words::kMeanOfMonths, 100.0 * xmr.mean_range);
    add_level(chart, ChartRole::limit, words::kNaturalLimits, 100.0 * xmr.range_limit);
    double top = 100.0 * xmr.range_limit;
    for (const ChartPoint& point : chart.points) top = std::max(top, point.y);
    chart.y.high = top > 0.0 ? 1.1 * top : 1.0;
    return chart;
}

ReportTable months_table(const AuditMeasure& measure, const std::vector<double>& shares) {
    ReportTable table;
    table.columns = {{words::kMonthColumn}, {words::kShareColumn, true}, {words::kMovingRange, true}, {words::kRulesCompleted}};
    for (std::size_t i = 0; i < shares.size(); ++i) {
        std::string rules;
        if (measure.series.xmr) {
            rules = rules_at(*measure.series.xmr, i, false);
            const std::string ranges_too = rules_at(*measure.series.xmr, i, true);
            if (!ranges_too.empty()) rules += (rules.empty() ? "" : ", ") + ranges_too;
        }
        const std::string range = i == 0 ? "–" : percent_text(std::abs(shares[i] - shares[i - 1]));
        table.rows.push_back({Cell(row_of(measure, i).group), Cell(percent_text(shares[i])), Cell(range),
                              Cell(rules.empty() ? "–" : rules)});
    }
    return table;
}

// One of the four limits over the size of a group.
void add_limit(Chart& chart, ChartRole role, std::string_view label, double target, double FunnelLimits::*limit) {
    ChartLine line{role, std::string(label)};
    const auto most = static_cast<std::size_t>(chart.x.high);
    const std::size_t step = most / kMostSteps + 1;
    for (std::size_t n = 1; n <= most; n += step) {
        const auto limits = funnel_limits(n, target);
        if (!limits) continue;
        line.x.push_back(static_cast<float>(n));
        line.y.push_back(static_cast<float>(100.0 * ((*limits).*limit)));
    }
    chart.lines.push_back(std::move(line));
}

ReportTable groups_table(const AuditMeasure& measure) {
    ReportTable table;
    table.columns = {{words::kGroup}, {words::kPeople, true}, {words::kShareColumn, true}, {"95 % limits", true}, {"99.8 % limits", true},
                     {words::kPlace}};
    const auto range = [](double low, double high) {
        return fmt::format("{} to {} %", fixed_text(100.0 * low, 0), fixed_text(100.0 * high, 0));
    };
    for (const FunnelPoint& point : measure.funnel) {
        const std::string place = point.place == FunnelPlace::within       ? "within"
                                  : point.place == FunnelPlace::outside_95 ? "outside 95 %"
                                                                           : "outside 99.8 %";
        table.rows.push_back({group_text(point.group), fmt::format("{}", point.denominator), percent_text(point.share),
                              range(point.limits.low_95, point.limits.high_95),
                              range(point.limits.low_998, point.limits.high_998), place});
    }
    return table;
}

}  // namespace

std::optional<Figure> months_figure(const AuditMeasure& measure) {
    const std::vector<double> shares = shares_of(measure);
    if (shares.size() < 2) return std::nullopt;
    Figure figure{fmt::format(words::kTimeFigure, measure.title), fmt::format(words::kTimeSays, measure.series.fewest)};
    figure.charts.push_back(run_figure(measure, shares));
    // Of fewer months the limits are too loose to be drawn.
    if (measure.series.xmr && measure.series.xmr->reason.empty()) {
        figure.charts.push_back(individuals(measure, shares));
        figure.charts.push_back(ranges(measure, shares));
    }
    figure.table = months_table(measure, shares);
    return figure;
}

std::optional<Figure> funnel_figure(const AuditMeasure& measure) {
    if (measure.funnel.empty() || !measure.overall.share) return std::nullopt;
    Chart chart{fmt::format(words::kFunnelFigure, measure.title)};
    std::size_t largest = 0;
    for (const FunnelPoint& point : measure.funnel) largest = std::max(largest, point.denominator);
    chart.x = {words::kPeopleCounted, "", AxisScale::counts, 0.0,
               std::ceil(kFunnelRoom * static_cast<double>(largest))};
    chart.y = {"", "%", AxisScale::linear, 0.0, 100.0};
    const double target = *measure.overall.share;
    add_level(chart, ChartRole::centre, words::kShareOfAll, 100.0 * target);
    add_limit(chart, ChartRole::limit, words::kLimit95, target, &FunnelLimits::low_95);
    add_limit(chart, ChartRole::limit, words::kLimit95, target, &FunnelLimits::high_95);
    add_limit(chart, ChartRole::outer_limit, words::kLimit998, target, &FunnelLimits::low_998);
    add_limit(chart, ChartRole::outer_limit, words::kLimit998, target, &FunnelLimits::high_998);
    for (const FunnelPoint& point : measure.funnel) {
        const std::string name =
            fmt::format("{}: {} of {} people", group_text(point.group), percent_text(point.share), point.denominator);
        chart.points.push_back({static_cast<double>(point.denominator),
                                100.0 * point.share,
                                {},
                                {},
                                point.place == FunnelPlace::within ? PointShape::disc : PointShape::diamond,
                                name});
    }
    chart.description =
        fmt::format(words::kFunnelChartSays, measure.funnel.size(), percent_text(target), funnel_text(measure));
    Figure figure{chart.title, words::kFunnelSays};
    figure.charts.push_back(std::move(chart));
    figure.table = groups_table(measure);
    return figure;
}

std::string run_text(const RunChart& run) {
    if (!run.long_run || !run.few_crossings) return run.reason;
    std::string text;
    if (*run.long_run) text = fmt::format(words::kRunLong, run.longest_run, *run.longest_allowed);
    if (*run.few_crossings) {
        text += (text.empty() ? "" : " ") + fmt::format(words::kRunFew, run.crossings, *run.fewest_crossings);
    }
    return text.empty() ? fmt::format(words::kRunNone, run.longest_run, *run.longest_allowed, run.crossings,
                                      *run.fewest_crossings)
                        : text;
}

std::string xmr_text(const AuditMeasure& measure) {
    if (!measure.series.xmr) return "";
    const XmrChart& xmr = *measure.series.xmr;
    if (!xmr.reason.empty()) return xmr.reason;
    std::string signals;
    for (const std::string_view rule :
         {"beyond_limit", "two_of_three", "four_of_five", "eight_in_a_row", "moving_range"}) {
        const std::string months = months_of_rule(measure, rule);
        if (!months.empty()) signals += fmt::format("{}{} ({})", signals.empty() ? "" : "; ", rule_text(rule), months);
    }
    return signals.empty() ? words::kXmrNone : fmt::format(words::kXmrSignals, signals);
}

std::string funnel_text(const AuditMeasure& measure) {
    if (measure.funnel.empty()) return measure.no_funnel;
    std::string outside;
    for (const FunnelPoint& point : measure.funnel) {
        if (point.place == FunnelPlace::within) continue;
        outside += fmt::format(words::kOutsideWhichLimits, outside.empty() ? "" : "; ",
                               group_text(point.group), percent_text(point.share), point.denominator,
                               point.place == FunnelPlace::outside_95 ? "95 %" : "99.8 %");
    }
    std::string text =
        outside.empty() ? words::kFunnelWithin : fmt::format(words::kFunnelOutside, outside);
    const auto hidden = std::count_if(measure.groups.begin(), measure.groups.end(), [](const AuditRow& row) {
        return row.cell.numerator.suppressed || row.cell.denominator.suppressed;
    });
    const auto narrowly = [](const FunnelPoint& point) { return point.place == FunnelPlace::outside_95; };
    if (std::any_of(measure.funnel.begin(), measure.funnel.end(), narrowly)) text += words::kFunnelOneInTwenty;
    if (hidden > 0) text += fmt::format(words::kFunnelHidden, hidden);
    return text;
}

bool has_signal(const AuditMeasure& measure) {
    const RunChart& run = measure.series.run;
    const bool outside = std::any_of(measure.funnel.begin(), measure.funnel.end(),
                                     [](const FunnelPoint& point) { return point.place != FunnelPlace::within; });
    return run.long_run.value_or(false) || run.few_crossings.value_or(false) || outside ||
           (measure.series.xmr && !measure.series.xmr->signals.empty());
}

}  // namespace tracehold
