#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "report/en/figures.hpp"
#include "report/session_sections.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/report/quantity.hpp"
#include "tracehold/report/session_figures.hpp"

namespace tracehold {
namespace {

constexpr double kWidth95 = 1.959964;  // standard errors to either side of a 95 % interval; normal distribution
constexpr double kRoomBeyond = 0.05;     // of the range

PointShape shape_of(const Cycle& cycle) {
    if (cycle.status == CycleStatus::missed) return PointShape::ring;
    const StepKind kind = cycle.kind;
    return kind == StepKind::rapid       ? PointShape::diamond
           : kind == StepKind::endurance ? PointShape::square
                                         : PointShape::disc;
}

std::string with_unit(const std::string& text, std::string_view unit) {
    return unit.empty() ? text : fmt::format("{} {}", text, unit);
}

std::string limit_text(const Target& target, const Measure& measure) {
    const std::string limit = number_text(target.below.value_or(target.above.value_or(0.0)));
    return target.below ? fmt::format(words::kTargetBelow, limit, measure.unit)
                        : fmt::format(words::kTargetAbove, limit, measure.unit);
}

void add_targets(Chart& chart, const SessionScore& score, const Measure& measure) {
    if (!score.plan) return;
    for (const Target& target : score.plan->targets) {
        if (target.measure != measure.key) continue;
        const double limit = target.below.value_or(target.above.value_or(0.0));
        chart.levels.push_back({ChartRole::target, limit, limit_text(target, measure)});
    }
}

// Room for zero, all points and targets; an interval may widen the range of the points by no more than itself to either
// side, so that one that says nothing does not flatten all others. Longer ones run out of the plot.
void fit_measures(Chart& chart) {
    double low = 0.0, high = 0.0;
    for (const ChartPoint& point : chart.points) low = std::min(low, point.y), high = std::max(high, point.y);
    for (const ChartLevel& level : chart.levels) low = std::min(low, level.y), high = std::max(high, level.y);
    const double range = high - low, least = low - range, most = high + range;
    for (const ChartPoint& point : chart.points) {
        low = std::min(low, std::max(least, point.low.value_or(point.y)));
        high = std::max(high, std::min(most, point.high.value_or(point.y)));
    }
    const double room = kRoomBeyond * (high - low);
    chart.y.low = low < 0.0 ? low - room : 0.0;
    chart.y.high = high > 0.0 ? high + room : low < 0.0 ? 0.0 : 1.0;
}

ChartPoint point_of(const ScoredCycle& scored, const Estimate& value, const Measure& measure) {
    ChartPoint point{static_cast<double>(scored.cycle.index), *value.value};
    if (value.error) {
        point.low = *value.value - kWidth95 * *value.error;
        point.high = *value.value + kWidth95 * *value.error;
    }
    point.shape = shape_of(scored.cycle);
    point.name =
        fmt::format("{}: {}", scored.cycle.index, with_unit(quantity_text(value, measure.unit, true), measure.unit));
    return point;
}

std::string says(const Chart& chart, std::size_t cycles, const Measure& measure) {
    const auto [least, most] = std::minmax_element(chart.points.begin(), chart.points.end(),
                                                   [](const ChartPoint& a, const ChartPoint& b) { return a.y < b.y; });
    return fmt::format(words::kMeasureSays, chart.points.size(), cycles,
                       quantity_text(Estimate::of(least->y), measure.unit),
                       quantity_text(Estimate::of(most->y), measure.unit), measure.unit);
}

// A line through the third of a second that is left of a rapid contraction says nothing of fading or steadiness.
bool is_told_by(StepKind kind, const Measure& measure) {
    return kind != StepKind::rapid || measure.family != "steadiness";
}

std::optional<Chart> chart_of(const SessionScore& score, std::size_t index) {
    const Measure& measure = measure_list()[index];
    Chart chart{std::string(measure.title)};
    chart.anchor = measure.key;
    const auto last = std::max_element(score.cycles.begin(), score.cycles.end(),
                                       [](const ScoredCycle& a, const ScoredCycle& b) { return a.cycle.index < b.cycle.index; });
    chart.x = {words::kContraction, "", AxisScale::counts, 0.5, last->cycle.index + 0.5};
    chart.y.unit = measure.unit;
    std::size_t looked_at = 0;
    for (const ScoredCycle& scored : score.cycles) {
        if (!is_told_by(scored.cycle.kind, measure)) continue;
        ++looked_at;
        const Estimate& value = scored.values[index];
        if (value)
            chart.points.push_back(point_of(scored, value, measure));
        else
            chart.moments.push_back({MomentKind::missing, static_cast<double>(scored.cycle.index),
                                     fmt::format("{}: {}", scored.cycle.index, value.reason)});
    }
    if (chart.points.empty()) return std::nullopt;
    add_targets(chart, score, measure);
    fit_measures(chart);
    chart.description = says(chart, looked_at, measure);
    return chart;
}

// Reasons stand in the table of contractions already.
ReportTable contractions_table(const SessionScore& score, const std::vector<std::size_t>& measures) {
    ReportTable table;
    table.columns = {{"No", true}, {words::kKindColumn}};
    for (const std::size_t measure : measures)
        table.columns.push_back({column_title(measure), true, std::string(measure_list()[measure].key)});
    for (const ScoredCycle& scored : score.cycles) {
        std::vector<Cell> row = {{std::to_string(scored.cycle.index)}, {std::string(to_string(scored.cycle.kind))}};
        for (const std::size_t measure : measures)
            row.push_back({quantity_text(scored.values[measure], measure_list()[measure].unit, true)});
        table.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace

std::optional<Figure> measures_figure(const SessionScore& score) {
    if (score.cycles.empty()) return std::nullopt;
    Figure figure{words::kMeasuresTitle, words::kMeasuresSays};
    std::vector<std::size_t> drawn;
    for (const std::size_t measure : cycle_measures()) {
        if (measure_list()[measure].form != MeasureForm::amount) continue;
        auto chart = chart_of(score, measure);
        if (!chart) continue;
        figure.charts.push_back(std::move(*chart));
        drawn.push_back(measure);
    }
    if (figure.charts.empty()) return std::nullopt;
    figure.table = contractions_table(score, drawn);
    return figure;
}

}  // namespace tracehold
