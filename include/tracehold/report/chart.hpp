#pragma once
// Charts as data: what is drawn over which axes and what each thing means; colours, dashes and shapes are the
// renderer's. All texts are plain and unescaped.
#include <array>
#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "tracehold/core/units.hpp"
#include "tracehold/report/report_table.hpp"

namespace tracehold {

// linear: numbers; seconds: ticks at whole parts of minutes; counts: whole numbers only; dates: days since 1970-01-01;
// months: whole months since year 0, 12 a year; logarithmic: low > 0.
enum class AxisScale { linear, seconds, counts, dates, months, logarithmic };

// low < high: the values at its ends; logarithmic ones are moved out to whole decades.
struct Axis {
    std::string title;
    std::string unit;
    AxisScale scale = AxisScale::linear;
    double low = 0.0;
    double high = 1.0;
};

// What a thing on a chart stands for.
enum class ChartRole {
    data,    // the one line or the points that the chart is about
    each,    // one of many lines that are read together
    median,  // the middle of many
    later,   // a second median beside the first: the later of two times
    band,    // where the first may lie
    later_band,
    threshold,  // what the plan asks for in training
    target,     // a limit that a clinician set
    trend,
    block,  // a mean over several days
    centre,       // the middle of all points: what they are held against
    limit,        // what chance alone seldom passes
    outer_limit,  // and what it hardly ever passes
};

// x and y of one length, x rising. y: NaN breaks the line. low: empty, or the lowest value where y is the highest of a
// stretch: then the area between is drawn.
struct ChartLine {
    ChartRole role = ChartRole::data;
    std::string label = {};
    std::vector<float> x = {}, y = {}, low = {};
    bool filled = false;  // down to the axis
};
// Between low and high over x; all of one length.
struct ChartBand {
    ChartRole role = ChartRole::band;
    std::string label = {};
    std::vector<float> x = {}, low = {}, high = {};
};
enum class PointShape { disc, diamond, square, ring };
// low, high: its 95 % interval. name: what a pointer resting on it is told.
struct ChartPoint {
    double x = 0.0;
    double y = 0.0;
    std::optional<double> low = {}, high = {};
    PointShape shape = PointShape::disc;
    std::string name = {};
};
// A stretch of the horizontal axis. work: asked to contract; found: a contraction where no cue is known; masked: no valid signal.
enum class SpanKind { work, found, masked };
struct ChartSpan {
    SpanKind kind = SpanKind::work;
    TimeSpan at = {};
};
// Moments on the horizontal axis. unseen: a contraction was asked for here and not seen; missing: nothing could be drawn here.
enum class MomentKind { onset, release, unseen, change, missing };
struct ChartMoment {
    MomentKind kind = MomentKind::onset;
    double x = 0.0;
    std::string label = {};
};
struct ChartLevel {
    ChartRole role = ChartRole::threshold;
    double y = 0.0;
    std::string label = {};
};

struct Chart {
    std::string title = {};
    std::string description = {};  // what it shows, in words, for those who cannot see it
    std::string remark = {};       // what everybody should read beside it
    std::string anchor = {};       // of the Definition of what is drawn
    Axis x = {}, y = {};
    std::vector<ChartSpan> spans = {};
    std::vector<ChartBand> bands = {};
    std::vector<ChartLine> lines = {};
    std::vector<ChartPoint> points = {};
    std::string each_point = {};  // what a point stands for, where a key is wanted
    std::vector<ChartMoment> moments = {};
    std::vector<ChartLevel> levels = {};
};

// One chart, or several small ones that are read together, and the same figures as a table.
struct Figure {
    std::string title = {};
    std::string description = {};
    std::vector<Chart> charts = {};
    ReportTable table = {};
};

// A week a row, Monday first. sessions: empty for days outside the course. iso_week, counting: the number of the week and its
// contractions that count; empty where the reader is not told.
struct CalendarWeek {
    std::chrono::sys_days monday = {};
    std::array<std::optional<std::size_t>, 7> sessions = {};
    std::size_t done = 0;
    std::optional<double> planned = {};
    std::optional<unsigned> iso_week = {};
    std::optional<std::size_t> counting = {};
};
// Who did what when: a table that is its own picture.
struct Calendar {
    std::string title = {};
    std::string description = {};
    std::vector<CalendarWeek> weeks = {};
};

}  // namespace tracehold
