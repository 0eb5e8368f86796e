#include "report/svg_trace.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "report/axis_ticks.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

constexpr double kRow_s = 150.0;         // our choice: a contraction of 8 s is 50 px wide on a desk, 14 on a phone
constexpr double kMostRows = 12.0;       // more and nobody looks at them
constexpr std::size_t kRowValues = 700;  // across a row; finer than a screen shows beside its neighbours
constexpr double kSameTime = 1e-6;       // of a step: sums of decimals fall short of it

double highest(const TraceFigure& figure) {
    double top = figure.threshold.value_or(0.0);
    for (const ChartLevel& target : figure.targets) top = std::max(top, target.y);
    for (const float value : figure.y) {
        if (!std::isnan(value)) top = std::max(top, static_cast<double>(value));
    }
    return top;
}

// The extremes of each of at most kRowValues stretches of [begin, end).
ChartLine row_line(const TraceFigure& figure, std::size_t begin, std::size_t end, const PageWords& words) {
    const bool areas = figure.y_low.size() == figure.y.size();
    const std::size_t stretch = std::max<std::size_t>(1, (end - begin + kRowValues - 1) / kRowValues);
    ChartLine line{ChartRole::data, areas ? std::string(words.highest_lowest) : std::string(), {}, {}, {}, true};
    for (std::size_t from = begin; from < end; from += stretch) {
        float high = std::numeric_limits<float>::quiet_NaN(), low = high;
        for (std::size_t i = from; i < std::min(end, from + stretch); ++i) {
            const float least = areas ? figure.y_low[i] : figure.y[i];
            if (std::isnan(high) || figure.y[i] > high) high = figure.y[i];
            if (std::isnan(low) || least < low) low = least;
        }
        line.x.push_back(
            static_cast<float>(figure.step_s * (static_cast<double>(from) + 0.5 * static_cast<double>(stretch))));
        line.y.push_back(high);
        line.low.push_back(low);
    }
    if (!areas && stretch == 1) line.low.clear();
    return line;
}

void mark(Chart& chart, const TraceFigure& figure, const PageWords& words) {
    const auto touches = [&](TimeSpan span) { return span.end_s > chart.x.low && span.begin_s < chart.x.high; };
    for (const TimeSpan& span : figure.work) {
        if (touches(span)) chart.spans.push_back({figure.cued ? SpanKind::work : SpanKind::found, span});
    }
    for (const TimeSpan& span : figure.masked) {
        if (touches(span)) chart.spans.push_back({SpanKind::masked, span});
    }
    const auto moment = [&](MomentKind kind, double x) {
        if (x >= chart.x.low && x < chart.x.high) chart.moments.push_back({kind, x, {}});
    };
    for (const double onset : figure.onsets_s) moment(MomentKind::onset, onset);
    for (const double release : figure.offsets_s) moment(MomentKind::release, release);
    for (const double unseen : figure.unseen_s) moment(MomentKind::unseen, unseen);
    const bool first = chart.x.low <= 0.0;  // the rows below need no names
    if (figure.threshold) {
        const std::string value = quantity_text(Estimate::of(*figure.threshold), figure.y_unit);
        const std::string label = fmt::format("{} {} {}", words.threshold, value, figure.y_unit);
        chart.levels.push_back({ChartRole::threshold, *figure.threshold, first ? label : ""});
    }
    for (const ChartLevel& target : figure.targets)
        chart.levels.push_back({target.role, target.y, first ? target.label : ""});
}

struct Moment {
    double time_s = 0.0;
    std::string_view what;
};

std::vector<Moment> moments_of(const TraceFigure& figure, const PageWords& words) {
    std::vector<Moment> moments;
    for (const TimeSpan& span : figure.cued ? figure.work : std::vector<TimeSpan>{}) {
        moments.push_back({span.begin_s, words.contract_cue});
        moments.push_back({span.end_s, words.relax_cue});
    }
    for (const TimeSpan& span : figure.masked) {
        moments.push_back({span.begin_s, words.mask_begins});
        moments.push_back({span.end_s, words.mask_ends});
    }
    for (const double onset : figure.onsets_s) moments.push_back({onset, words.onset});
    for (const double release : figure.offsets_s) moments.push_back({release, words.release});
    std::stable_sort(moments.begin(), moments.end(),
                     [](const Moment& a, const Moment& b) { return a.time_s < b.time_s; });
    return moments;
}

}  // namespace

ReportTable trace_table(const TraceFigure& figure, const PageWords& words) {
    ReportTable table;
    const std::vector<Moment> moments = moments_of(figure, words);
    if (moments.empty() || !(figure.step_s > 0.0)) return table;
    table.columns = {{fmt::format("{}, s", words.time), true},
                     {std::string(words.what)},
                     {fmt::format("{}, {}", words.envelope, figure.y_unit), true}};
    for (const Moment& moment : moments) {
        const auto at = static_cast<std::size_t>(std::max(0.0, moment.time_s / figure.step_s + kSameTime));
        const bool known = at < figure.y.size() && !std::isnan(figure.y[at]);
        const Estimate value = known ? Estimate::of(figure.y[at]) : Estimate::none("masked");
        table.rows.push_back(
            {{fixed_text(moment.time_s, 2)}, {std::string(moment.what)}, {quantity_text(value, figure.y_unit)}});
    }
    return table;
}

std::vector<Chart> trace_charts(const TraceFigure& figure, const PageWords& words) {
    const bool known = std::any_of(figure.y.begin(), figure.y.end(), [](float value) { return !std::isnan(value); });
    if (!known || !(figure.step_s > 0.0)) return {};
    const double length_s = figure.step_s * static_cast<double>(figure.y.size());
    const auto wanted = static_cast<std::size_t>(std::clamp(std::ceil(length_s / kRow_s), 1.0, kMostRows));
    const std::size_t per_row = (figure.y.size() + wanted - 1) / wanted;
    const std::size_t rows = (figure.y.size() + per_row - 1) / per_row;
    const double top = highest(figure);
    std::vector<Chart> charts;
    for (std::size_t begin = 0; begin < figure.y.size(); begin += per_row) {
        const std::size_t end = std::min(figure.y.size(), begin + per_row);
        Chart chart{figure.title, figure.description};
        const double from = figure.step_s * static_cast<double>(begin);
        chart.x = {"", "s", AxisScale::seconds, from, from + figure.step_s * static_cast<double>(per_row)};
        chart.y = {"", figure.y_unit, AxisScale::linear, 0.0, axis_top(top)};
        if (rows > 1) {
            chart.title += ", " + fmt::format(fmt::runtime(words.row_of), fixed_text(from, 0),
                                              fixed_text(chart.x.high, 0), charts.size() + 1, rows);
            if (!charts.empty()) chart.description = chart.title;
        }
        chart.lines = {row_line(figure, begin, end, words)};
        mark(chart, figure, words);
        charts.push_back(std::move(chart));
    }
    charts.back().x.title = words.time_axis;
    return charts;
}

}  // namespace tracehold
