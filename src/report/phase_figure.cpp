// A course over real dates: is what changed more than measurement error?
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

#include "report/calendar_table.hpp"
#include "report/en/figures.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/course_figures.hpp"
#include "tracehold/report/quantity.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

constexpr double kMargin_days = 1.0;  // before the first and after the last session
constexpr double kRoomForLabels = 1.08;

double day_number(std::chrono::sys_days day) { return static_cast<double>(day.time_since_epoch().count()); }

double x_of(const Phase& phase, const CoursePoint& point) { return day_number(phase.sessions[point.session].day); }

// Of more sessions a point and a row of the table stand for a week each: thousands are no longer told apart, and a page stays one that
// opens at once. Our choice.
constexpr std::size_t kMostDrawn = 1000;

bool by_week(const Phase& phase) { return phase.sessions.size() > kMostDrawn; }

// What a row of the table stands for, and a point of each chart: sessions [begin, end) of the phase, from this day on.
struct Drawn {
    std::size_t begin = 0, end = 0;
    std::chrono::sys_days day{};
};

std::vector<Drawn> drawn_of(const Phase& phase) {
    std::vector<Drawn> all;
    for (std::size_t i = 0; i < phase.sessions.size(); ++i) {
        std::chrono::sys_days day = phase.sessions[i].day;
        if (by_week(phase)) day -= std::chrono::weekday(day) - std::chrono::Monday;
        if (!by_week(phase) || all.empty() || all.back().day != day) all.push_back({i, i, day});
        all.back().end = i + 1;
    }
    return all;
}

std::span<const CoursePoint> points_in(const MeasureChange& change, const Drawn& drawn) {
    const auto at = [&](std::size_t session) {
        return std::lower_bound(change.points.begin(), change.points.end(), session,
                                [](const CoursePoint& point, std::size_t wanted) { return point.session < wanted; });
    };
    return {at(drawn.begin), at(drawn.end)};
}

// In: not empty.
double median_of(std::span<const CoursePoint> points) {
    std::vector<double> values;
    for (const CoursePoint& point : points) values.push_back(point.value);
    return median(values);
}

std::string amount(double value, const std::string& unit) {
    const std::string text = quantity_text(Estimate::of(value), unit);
    return unit.empty() ? text : text + " " + unit;
}

// Percent where changes are; otherwise in the measure's own unit.
double changed_by(const MeasureChange& change, double from, double by) {
    return change.change_unit == "%" ? from * (1.0 + by / 100.0) : from + by;
}

void add_band(Chart& chart, const MeasureChange& change) {
    if (!change.baseline || !change.needed_rise || !change.needed_fall) return;
    const auto low = static_cast<float>(changed_by(change, change.baseline->value, -*change.needed_fall));
    const auto high = static_cast<float>(changed_by(change, change.baseline->value, *change.needed_rise));
    const auto from = static_cast<float>(chart.x.low), to = static_cast<float>(chart.x.high);
    chart.bands = {{ChartRole::band, words::kErrorBand, {from, to}, {low, low}, {high, high}}};
}

void add_block(Chart& chart, const std::optional<CourseBlock>& block) {
    if (!block) return;
    const double half_day = 0.5;
    const auto from = static_cast<float>(day_number(block->from) - half_day);
    const auto to = static_cast<float>(day_number(block->to) + half_day), value = static_cast<float>(block->value);
    chart.lines.push_back({ChartRole::block, words::kBlocks, {from, to}, {value, value}});
}

// The Theil-Sen line through the medians of what it leaves over; straight on the scale on which changes are told.
void add_trend(Chart& chart, const Phase& phase, const MeasureChange& change) {
    const bool shown = change.statement == Statement::more || change.statement == Statement::less;
    if (!shown || !change.slope_per_week || change.points.empty()) return;
    const bool percent = change.change_unit == "%";
    const double slope = (percent ? std::log1p(*change.slope_per_week / 100.0) : *change.slope_per_week) / 7.0;
    std::vector<double> left;
    for (const CoursePoint& point : change.points) {
        if (percent && point.value <= 0.0) return;
        left.push_back((percent ? std::log(point.value) : point.value) - slope * x_of(phase, point));
    }
    const double level = median(left);
    ChartLine line{ChartRole::trend, words::kTrend};
    constexpr int kPieces = 24;  // of a curve
    const double first = x_of(phase, change.points.front()), last = x_of(phase, change.points.back());
    for (int k = 0; k <= kPieces; ++k) {
        const double x = first + (last - first) * k / kPieces, y = level + slope * x;
        line.x.push_back(static_cast<float>(x));
        line.y.push_back(static_cast<float>(percent ? std::exp(y) : y));
    }
    chart.lines.push_back(std::move(line));
}

void fit_days(Chart& chart, const std::string& unit) {
    double low = 0.0, high = 0.0;
    const auto see = [&](double value) { low = std::min(low, value), high = std::max(high, value); };
    for (const ChartPoint& point : chart.points) see(point.y);
    for (const ChartBand& band : chart.bands) see(band.high.front());
    for (const ChartLine& line : chart.lines) {
        for (const float y : line.y) see(y);  // a curved trend rises above its points
    }
    chart.y = {"", unit, AxisScale::linear, kRoomForLabels * low, high > 0.0 ? kRoomForLabels * high : low < 0.0 ? 0.0 : 1.0};
}

// "2026", "2025–2026": the days beside the ticks have none.
std::string years_of(const Phase& phase) {
    const std::string first = calendar_day(phase.sessions.front().day).substr(0, 4);
    const std::string last = calendar_day(phase.sessions.back().day).substr(0, 4);
    return first == last ? first : first + "–" + last;
}

Chart chart_of(const Phase& phase, const MeasureChange& change) {
    Chart chart{change.title};
    chart.anchor = change.key;
    chart.each_point = by_week(phase) ? words::kEachWeek : words::kEachSession;
    chart.remark = change.text.empty() ? change.reason : with_minus(change.text);
    chart.x = {words::kDateColumn, years_of(phase), AxisScale::dates,
               day_number(phase.sessions.front().day) - kMargin_days,
               day_number(phase.sessions.back().day) + kMargin_days};
    for (const Drawn& drawn : drawn_of(phase)) {
        const auto points = points_in(change, drawn);
        if (points.empty()) continue;
        const double value = median_of(points), x = 0.5 * (x_of(phase, points.front()) + x_of(phase, points.back()));
        chart.points.push_back({x, value, {}, {}, PointShape::ring, fmt::format("{}: {}", calendar_day(drawn.day), amount(value, change.unit))});
    }
    add_band(chart, change);
    add_block(chart, change.baseline);
    add_block(chart, change.current);
    add_trend(chart, phase, change);
    for (const PlanChange& plan : phase.plan_changes)
        chart.moments.push_back({MomentKind::change, day_number(plan.day), shown(plan.plan, 24)});
    fit_days(chart, change.unit);
    chart.description = fmt::format(words::kCourseChartSays, change.points.size(), chart.remark);
    return chart;
}

ReportTable days_table(const Phase& phase, const std::vector<const MeasureChange*>& drawn) {
    ReportTable table;
    table.columns = {{std::string(by_week(phase) ? words::kWeekFrom : words::kDateColumn)}};
    for (const MeasureChange* change : drawn)
        table.columns.push_back({change->title + (change->unit.empty() ? "" : " " + change->unit), true, change->key});
    for (const Drawn& each : drawn_of(phase)) {
        std::vector<Cell> row = {{calendar_day(each.day)}};
        for (const MeasureChange* change : drawn) {
            const auto points = points_in(*change, each);
            row.push_back({points.empty() ? "–" : quantity_text(Estimate::of(median_of(points)), change->unit)});
        }
        table.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace

std::optional<Figure> phase_figure(const Phase& phase) {
    Figure figure{words::kCourseTitle, words::kCourseSays};
    std::vector<const MeasureChange*> drawn;
    for (const MeasureChange& change : phase.measures) {
        if (!change.primary || change.points.empty()) continue;
        figure.charts.push_back(chart_of(phase, change));
        drawn.push_back(&change);
    }
    if (figure.charts.empty()) return std::nullopt;
    if (std::any_of(drawn.begin(), drawn.end(), [](const MeasureChange* change) { return change->beyond_published.has_value(); }))
        figure.description = words::kFewDaysSay;
    if (by_week(phase)) figure.description += ' ' + fmt::format(words::kByWeek, phase.sessions.size());
    figure.table = days_table(phase, drawn);
    return figure;
}

Calendar calendar_of(const Course& course) {
    Calendar calendar{words::kCalendarTitle, words::kCalendarSays, {}};
    const auto day_of = [](const std::optional<CivilTime>& time) {
        return time ? std::optional(std::chrono::floor<std::chrono::days>(time->local)) : std::nullopt;
    };
    const auto first = day_of(course.first), last = day_of(course.last);
    double asked = 0.0;  // up to each week, so that the weeks told add up to the sum told
    for (const CourseWeek& week : course.adherence.weeks) {
        CalendarWeek row{.monday = week.monday, .done = week.sessions, .iso_week = week.iso_week, .counting = week.counting};
        if (week.planned_sessions) {
            const std::size_t before = wholly_due(asked);
            asked += *week.planned_sessions;
            row.planned = static_cast<double>(wholly_due(asked) - before);
        }
        const bool final_week = &week == &course.adherence.weeks.back();
        for (std::size_t i = 0; i < week.days.size(); ++i) {
            const auto day = week.monday + std::chrono::days{i};
            const bool outside = (first && day < *first) || (final_week && last && day > *last);
            if (!outside || week.days[i] > 0) row.sessions[i] = week.days[i];
        }
        calendar.weeks.push_back(row);
    }
    return calendar;
}

}  // namespace tracehold
