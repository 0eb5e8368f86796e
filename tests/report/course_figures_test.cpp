#include "tracehold/report/course_figures.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "support/made_up_session.hpp"

using namespace tracehold;

namespace {

const std::chrono::sys_days kMonday = std::chrono::year{2026} / 3 / 2;

// A hold mean of 10 that doubles over eight weeks, one session a week.
Phase phase(std::optional<Statement> statement) {
    Phase phase;
    MeasureChange change;
    change.key = "hold_mean_uv";
    change.title = "Hold mean";
    change.unit = "µV";
    change.primary = true;
    change.change_unit = "%";
    for (std::size_t i = 0; i <= 8; ++i) {
        phase.sessions.push_back({.score = i, .day = kMonday + std::chrono::days{7 * i}});
        change.points.push_back({i, 10.0 * std::exp2(static_cast<double>(i) / 8.0)});
    }
    change.baseline = CourseBlock{.value = 10.0, .from = kMonday, .to = kMonday + std::chrono::days{7}};
    change.needed_rise = 25.0;
    change.needed_fall = 20.0;
    change.slope_per_week = 100.0 * std::expm1(std::log(2.0) / 8.0);
    change.statement = statement;
    change.text = "what is said";
    phase.measures = {change};
    return phase;
}

const ChartLine* line_of(const Figure& figure, ChartRole role) {
    const auto& lines = figure.charts[0].lines;
    const auto place =
        std::find_if(lines.begin(), lines.end(), [&](const ChartLine& line) { return line.role == role; });
    return place == lines.end() ? nullptr : &*place;
}

}  // namespace

TEST_CASE("the band of measurement error lies around the first days") {
    const auto figure = phase_figure(phase(Statement::no_change_shown));
    REQUIRE(figure);
    const ChartBand& band = figure->charts[0].bands[0];
    CHECK(band.low[0] == doctest::Approx(8.0));
    CHECK(band.high[0] == doctest::Approx(12.5));
    CHECK(figure->charts[0].remark == "what is said");
    CHECK(figure->charts[0].x.unit == "2026");
    CHECK(figure->charts[0].y.low == 0.0);
    CHECK(figure->table.rows.size() == 9);
}

TEST_CASE("a trend is drawn only where more or less is said") {
    for (const auto statement : {std::optional(Statement::no_change_shown), std::optional(Statement::not_enough),
                                 std::optional<Statement>()}) {
        CHECK(line_of(*phase_figure(phase(statement)), ChartRole::trend) == nullptr);
    }
    const auto figure = phase_figure(phase(Statement::more));
    const ChartLine* trend = line_of(*figure, ChartRole::trend);
    REQUIRE(trend);
    CHECK(trend->y.front() == doctest::Approx(10.0).epsilon(1e-5));
    CHECK(trend->y.back() == doctest::Approx(20.0).epsilon(1e-5));
    CHECK(trend->y[12] == doctest::Approx(10.0 * std::sqrt(2.0)).epsilon(1e-5));  // straight on the log scale
}

TEST_CASE("a trend that rises above all points stays within its chart") {
    Phase steep = phase(Statement::more);
    steep.measures[0].slope_per_week = 40.0;  // steeper than the points
    const auto figure = phase_figure(steep);
    const ChartLine* trend = line_of(*figure, ChartRole::trend);
    REQUIRE(trend);
    CHECK(trend->y.back() > 25.0);
    CHECK(*std::max_element(trend->y.begin(), trend->y.end()) <= figure->charts[0].y.high);
}

TEST_CASE("changes in the measure's own unit give a straight band and trend") {
    Phase seconds = phase(Statement::more);
    MeasureChange& change = seconds.measures[0];
    change.change_unit = change.unit = "s";
    change.needed_rise = 0.3, change.needed_fall = 0.3;
    change.slope_per_week = 0.5;
    for (CoursePoint& point : change.points) point.value = 10.0 + 0.5 * static_cast<double>(point.session);
    const auto figure = phase_figure(seconds);
    CHECK(figure->charts[0].bands[0].high[0] == doctest::Approx(10.3));
    CHECK(line_of(*figure, ChartRole::trend)->y.back() == doctest::Approx(14.0));
}

TEST_CASE("only primary measures with values are drawn") {
    Phase plain = phase(Statement::more);
    plain.measures[0].primary = false;
    CHECK(!phase_figure(plain));
    Phase blank = phase(std::nullopt);
    blank.measures[0].points.clear();
    CHECK(!phase_figure(blank));
}

TEST_CASE("the band of a few days is said to be the published error and no claim") {
    Phase few = phase(Statement::not_enough);
    CHECK(phase_figure(few)->description.find("a change has to leave it to be more than measurement error") != std::string::npos);
    few.measures[0].beyond_published = true;
    CHECK(phase_figure(few)->description.find("a value outside of it is no claim of a change") != std::string::npos);
}

TEST_CASE("one session gives a chart with a date axis that has length") {
    Phase one = phase(std::nullopt);
    one.sessions.resize(1);
    one.measures[0].points.resize(1);
    const auto figure = phase_figure(one);
    REQUIRE(figure);
    CHECK(figure->charts[0].x.low < figure->charts[0].x.high);
}

TEST_CASE("the calendar leaves days before the first and after the last session blank") {
    Course course;
    course.first = CivilTime{kMonday + std::chrono::days{2} + std::chrono::hours{8}, std::nullopt};
    course.last = CivilTime{kMonday + std::chrono::days{9} + std::chrono::hours{20}, std::nullopt};
    CourseWeek first, second;
    first.monday = kMonday;
    first.days = {0, 0, 1, 0, 2, 0, 0};
    first.sessions = 3;
    first.planned_sessions = 6.0;
    first.iso_week = 10;
    first.counting = 41;
    second.monday = kMonday + std::chrono::days{7};
    second.days = {0, 0, 1, 0, 0, 0, 0};
    second.sessions = 1;
    course.adherence.weeks = {first, second};
    const Calendar calendar = calendar_of(course);
    REQUIRE(calendar.weeks.size() == 2);
    CHECK(!calendar.weeks[0].sessions[1]);
    CHECK(calendar.weeks[0].sessions[2] == 1);
    CHECK(calendar.weeks[0].sessions[3] == 0);
    CHECK(calendar.weeks[1].sessions[2] == 1);
    CHECK(!calendar.weeks[1].sessions[3]);
    CHECK(calendar.weeks[0].planned == 6.0);
    CHECK(calendar.weeks[0].iso_week == 10u);
    CHECK(calendar.weeks[0].counting == 41);
}

TEST_CASE("sessions are laid over each other by date with their middle halves") {
    const SessionScore before = test::made_up_session();
    SessionScore after = before;
    after.recording.start = parse_civil_time("2026-05-24T08:00:00");
    const Envelope early = test::made_up_envelope(before);
    Envelope late = early;
    for (float& value : late.uv) value *= 1.5f;
    const auto figure = before_after_figure({before, early}, {after, late});
    REQUIRE(figure);
    const Chart& chart = figure->charts[0];
    REQUIRE(chart.lines.size() == 2);
    CHECK(chart.lines[1].label == "median, 2026-05-24");
    CHECK(chart.lines[1].y[100] == doctest::Approx(1.5 * chart.lines[0].y[100]));
    CHECK(chart.bands[0].low[100] <= chart.lines[0].y[100]);
    SessionScore few = before;
    few.cycles.resize(2);
    CHECK(!before_after_figure({few, early}, {after, late}));
}

TEST_CASE("of very many sessions a ring and a row stand for a week, whose median is that of its sessions") {
    Phase many = phase(std::nullopt);
    MeasureChange& change = many.measures[0];
    many.sessions.clear(), change.points.clear();
    for (std::size_t i = 0; i < 1001; ++i) {  // 7 a week from a Monday on, the last week without a value
        many.sessions.push_back({.score = i, .day = kMonday + std::chrono::days{static_cast<int>(i)}});
        if (i < 994) change.points.push_back({i, 10.0 + static_cast<double>(i % 7 == 3 ? 0 : i % 7)});
    }
    const auto figure = phase_figure(many);
    REQUIRE(figure);
    const Chart& chart = figure->charts[0];
    REQUIRE(chart.points.size() == 142);
    CHECK(figure->table.rows.size() == 143);
    CHECK(chart.points[1].y == doctest::Approx(12.0));  // of 0, 0, 1, 2, 4, 5, 6 above 10
    CHECK(chart.points[1].x - chart.points[0].x == doctest::Approx(7.0));
    CHECK(figure->table.rows[142][1].text == "–");
    CHECK(figure->description.find("each ring is the median of a week instead") != std::string::npos);
    many.sessions.resize(1000);
    CHECK(phase_figure(many)->charts[0].points.size() == 994);
}
