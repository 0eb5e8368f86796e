#include "report/svg_chart.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <limits>
#include <string>

#include "report/axis_ticks.hpp"
#include "report/svg_path.hpp"
#include "report/svg_trace.hpp"
#include "support/text_parts.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

constexpr float kGap = std::numeric_limits<float>::quiet_NaN();

std::string labels_of(const Axis& axis, int about, std::string_view language = "en") {
    std::string text;
    for (const Tick& tick : axis_ticks(axis, about, page_words(language)))
        text += (text.empty() ? "" : " ") + tick.label;
    return text;
}

double day_number(int year, unsigned month, unsigned day) {
    const std::chrono::sys_days date = std::chrono::year{year} / std::chrono::month{month} / std::chrono::day{day};
    return static_cast<double>(date.time_since_epoch().count());
}

TraceFigure trace(std::size_t values, double step_s) {
    TraceFigure figure;
    figure.title = "Envelope";
    figure.description = "A trace.";
    figure.y_unit = "µV";
    figure.step_s = step_s;
    for (std::size_t i = 0; i < values; ++i) figure.y.push_back(3.0f + static_cast<float>(i % 7));
    return figure;
}

}  // namespace

TEST_CASE("ticks stand at round values inside the axis") {
    CHECK(labels_of({"", "", AxisScale::linear, 0.0, 23.0}, 4) == "0 10 20");
    CHECK(labels_of({"", "", AxisScale::linear, -11.0, 1.2}, 4) == "−10 −5 0");
    CHECK(labels_of({"", "", AxisScale::linear, 0.0, 1.05}, 3) == "0.0 0.5 1.0");
    CHECK(labels_of({"", "", AxisScale::linear, 0.0, 1.05}, 3, "de") == "0,0 0,5 1,0");
    CHECK(labels_of({"", "s", AxisScale::seconds, 0.0, 120.0}, 8) == "0 15 30 45 60 75 90 105 120");
    CHECK(labels_of({"", "", AxisScale::counts, 0.5, 3.5}, 10) == "1 2 3");
    CHECK(labels_of({"", "", AxisScale::logarithmic, 0.01, 10.0}, 4) == "0.01 0.1 1 10");
}

TEST_CASE("weeks begin on Mondays and months have names") {
    const Axis weeks{"", "", AxisScale::dates, day_number(2026, 3, 1), day_number(2026, 3, 24)};
    CHECK(labels_of(weeks, 4) == "2 Mar 9 Mar 16 Mar 23 Mar");
    CHECK(labels_of(weeks, 4, "de") == "2.3. 9.3. 16.3. 23.3.");
}

TEST_CASE("an axis without length has no ticks and divides by nothing") {
    const Axis axis{"", "", AxisScale::linear, 2.0, 2.0};
    CHECK(axis_ticks(axis, 4, page_words("en")).empty());
    CHECK(fraction_of(axis, 2.0) == 0.0);
}

TEST_CASE("there are never more than twice the ticks asked for") {
    for (const AxisScale scale : {AxisScale::linear, AxisScale::seconds, AxisScale::counts, AxisScale::dates}) {
        for (double length = 0.013; length < 1e6; length *= 1.37) {
            for (const int about : {2, 5, 10}) {
                CHECK(axis_ticks({"", "", scale, 0.0, length}, about, page_words("en")).size() <= 2u * about + 1);
            }
        }
    }
}

TEST_CASE("a line breaks at a gap and a lone value is a dot") {
    const Axis x{"", "", AxisScale::linear, 0.0, 10.0}, y = x;
    const ChartLine line{ChartRole::data, "", {0.0f, 5.0f, 6.0f, 10.0f}, {0.0f, 10.0f, kGap, 5.0f}};
    CHECK(line_path({x, y, 100.0}, line).markup() == "M0 100 500 0M1000 50h0");
}

TEST_CASE("an area runs along its upper edge and back along the lower one") {
    const Axis x{"", "", AxisScale::linear, 0.0, 10.0}, y = x;
    const std::vector<float> times = {0.0f, 10.0f}, low = {2.0f, 4.0f}, high = {6.0f, 8.0f};
    CHECK(area_between({x, y, 100.0}, times, low, high).markup() == "M0 40 1000 20 1000 60 0 80Z");
}

TEST_CASE("values far outside the plot are drawn just outside it") {
    const Axis x{"", "", AxisScale::linear, 0.0, 10.0}, y = x;
    CHECK(pixel_up({x, y, 100.0}, 1e9) == doctest::Approx(-5.0));
    CHECK(pixel_up({x, y, 100.0}, -1e9) == doctest::Approx(105.0));
}

TEST_CASE("a chart names itself and tells kinds apart by shape") {
    Chart chart{"Rest <mean>", "Three values."};
    chart.x = {"contraction", "", AxisScale::counts, 0.5, 3.5};
    chart.y = {"", "µV", AxisScale::linear, 0.0, 5.0};
    chart.points = {{1, 2, 1.5, 2.5, PointShape::disc, "1: 2.0 µV"},
                    {2, 3, {}, {}, PointShape::diamond, ""},
                    {9, 3, {}, {}, PointShape::disc, "outside"}};
    chart.moments = {{MomentKind::missing, 3, "3: masked"}};
    const std::string svg = svg_chart(chart, {7, 96.0, 5, 3}, page_words("en")).markup();
    CHECK(svg.find("aria-labelledby=\"c7t c7d\"><title id=\"c7t\">Rest &lt;mean&gt;</title>") != std::string::npos);
    CHECK(count_of(svg, "<circle") == 1);
    CHECK(svg.find("M0-5 4 0 0 5-4 0z") != std::string::npos);
    CHECK(svg.find("<title>3: masked</title>") != std::string::npos);
    CHECK(svg.find("outside") == std::string::npos);
}

TEST_CASE("labels of dates that would touch on a narrow screen are left out there") {
    Chart chart{"Over the weeks", "Two days."};
    chart.y = {"", "µV", AxisScale::linear, 0.0, 5.0};
    for (const double days : {6.0, 10.0, 28.0, 84.0}) {
        chart.x = {"", "", AxisScale::dates, day_number(2026, 3, 14), day_number(2026, 3, 14) + days};
        const std::string svg = svg_chart(chart, {7, 96.0, 8, 3}, page_words("en")).markup();
        double end = -100.0;
        std::size_t shown = 0;
        for (std::size_t at = svg.find("\"across"); at != std::string::npos; at = svg.find("\"across", at + 1)) {
            const std::string mark = svg.substr(at, svg.find("</text>", at) - at);
            if (mark.find("fine") != std::string::npos) continue;
            const double x = std::strtod(mark.c_str() + mark.find("x=\"") + 3, nullptr) * 2.2;  // a plot of 220 px
            const double width = 6.6 * static_cast<double>(mark.size() - mark.find('>') - 1);      // a letter of 12 px type, from memory
            const double begin = x - (mark.find("last") != std::string::npos ? width : width / 2.0);
            CHECK(begin > end);
            end = begin + width;
            ++shown;
        }
        CHECK(shown >= 2);
    }
}

TEST_CASE("the key explains each kind of mark once") {
    Chart chart;
    chart.spans = {{SpanKind::work, {0, 1}}, {SpanKind::work, {2, 3}}, {SpanKind::masked, {4, 5}}};
    chart.moments = {{MomentKind::onset, 1, ""}, {MomentKind::release, 2, ""}};
    const std::vector<Chart> charts = {chart, chart};
    CHECK(count_of(chart_key(charts, page_words("en")).markup(), "<li>") == 4);
    CHECK(chart_key(std::vector<Chart>{Chart{}}, page_words("en")).markup().empty());
}

TEST_CASE("a contraction that was not seen has a mark of its own and what has no cue is not said to have one") {
    TraceFigure figure = trace(1400, 0.1);
    figure.work = {{10.0, 16.0}, {30.0, 36.0}};
    const auto key_of = [&] { return chart_key(trace_charts(figure, page_words("en")), page_words("en")).markup(); };
    CHECK(count_of(key_of(), "cue to contract until cue to relax") == 1);
    CHECK(count_of(key_of(), "no contraction seen") == 0);
    figure.unseen_s = {33.0};
    CHECK(count_of(key_of(), "asked for, no contraction seen") == 1);
    const auto charts = trace_charts(figure, page_words("en"));
    CHECK(count_of(svg_chart(charts[0], {1, 200.0, 5, 3}, page_words("en")).markup(), "class=\"unseen\"") == 1);
    CHECK(trace_table(figure, page_words("en")).rows.size() == 4);
    figure.cued = false;
    CHECK(count_of(key_of(), "cue to contract") == 0);
    CHECK(count_of(key_of(), "contraction found (no cue is known)") == 1);
    CHECK(trace_table(figure, page_words("en")).rows.empty());
}

TEST_CASE("the points of a chart lie over what sums them up and rings are named") {
    Chart chart{"t"};
    chart.y.high = 10.0;
    chart.points = {{0.5, 5.0, {}, {}, PointShape::ring, "a day"}};
    chart.each_point = "each session";
    chart.lines = {{ChartRole::block, "mean", {0.0f, 1.0f}, {5.0f, 5.0f}}};
    const std::string svg = svg_chart(chart, {1, 200.0, 5, 3}, page_words("en")).markup();
    CHECK(svg.find("class=\"points\"") > svg.find("r-block"));
    CHECK(count_of(chart_key(std::vector<Chart>{chart}, page_words("en")).markup(), "each session") == 1);
}

TEST_CASE("a long trace becomes rows of one scale that lose no peak") {
    TraceFigure figure = trace(6000, 0.1);  // 600 s
    figure.y[4567] = 100.0f;
    const auto charts = trace_charts(figure, page_words("en"));
    REQUIRE(charts.size() == 4);
    float highest = 0.0f;
    for (const Chart& chart : charts) {
        CHECK(chart.y.high == doctest::Approx(105.0));
        CHECK(chart.x.high - chart.x.low == doctest::Approx(150.0));
        CHECK(chart.lines[0].x.size() <= 700);
        for (const float value : chart.lines[0].y) highest = std::max(highest, value);
    }
    CHECK(highest == 100.0f);
    CHECK(charts[1].title == "Envelope, 150 to 300 s, row 2 of 4");
}

TEST_CASE("both edges of a trace are kept where both are known") {
    TraceFigure figure = trace(1400, 0.1);
    figure.y_low = figure.y;
    figure.y_low[100] = 0.5f;
    const auto charts = trace_charts(figure, page_words("en"));
    REQUIRE(charts.size() == 1);
    const auto& low = charts[0].lines[0].low;
    CHECK(*std::min_element(low.begin(), low.end()) == 0.5f);
}

TEST_CASE("marks stand in the row of their time only") {
    TraceFigure figure = trace(3000, 0.1);
    figure.work = {{10.0, 20.0}, {145.0, 155.0}, {250.0, 260.0}};
    figure.onsets_s = {10.3, 250.2};
    figure.threshold = 5.0;
    const auto charts = trace_charts(figure, page_words("en"));
    REQUIRE(charts.size() == 2);
    CHECK(charts[0].spans.size() == 2);
    CHECK(charts[1].spans.size() == 2);
    CHECK(charts[0].moments.size() == 1);
    CHECK(charts[0].levels[0].label == "threshold 5.0 µV");
    CHECK(charts[1].levels[0].label.empty());
}

TEST_CASE("the table of a trace tells its moments in order of time") {
    TraceFigure figure = trace(100, 0.1);
    figure.work = {{2.0, 5.0}};
    figure.onsets_s = {2.4};
    figure.offsets_s = {5.6};
    figure.y[24] = kGap;
    const ReportTable table = trace_table(figure, page_words("en"));
    REQUIRE(table.rows.size() == 4);
    CHECK(table.rows[0][1].text == "cue to contract");
    CHECK(table.rows[1][1].text == "onset");
    CHECK(table.rows[1][2].text == "–");
    CHECK(table.rows[2][1].text == "cue to relax");
    CHECK(table.rows[3][0].text == "5.60");
}

TEST_CASE("a trace without a valid value is no chart") {
    TraceFigure figure = trace(10, 0.1);
    for (float& value : figure.y) value = kGap;
    CHECK(trace_charts(figure, page_words("en")).empty());
    CHECK(trace_charts(trace(10, 0.0), page_words("en")).empty());
    CHECK(trace_charts({}, page_words("en")).empty());
}
