// Idea: texts and marks are placed in percent of the width and pixels of the height, so they keep their size on a
// phone, on paper and at any zoom; lines live in an inner picture that is stretched across without their strokes
// growing. Axis numbers stand outside the picture's box, in the margin that the style sheet leaves there. Below the
// plot runs a lane of its own: bars for the work windows, flags for onsets and releases.
#include "report/svg_chart.hpp"

#include <algorithm>

#include "report/axis_ticks.hpp"
#include "report/svg_path.hpp"

namespace tracehold {
namespace {

constexpr double kAbove = 20.0;   // px over the plot: the unit, labels of moments
constexpr double kLane = 18.0;    // of bars and flags, where there are any
constexpr double kLabels = 22.0;  // of the numbers along the axis
// Of a plot on a screen of 320 px, and of a letter beside it: labels that would touch there are left out on narrow screens.
constexpr double kNarrowPlot = 220.0, kLetter = 6.6;
constexpr double kAxisName = 18.0;   // of the axis' name
constexpr Literal kSteadyStroke = " vector-effect=\"non-scaling-stroke\" d=\"";  // however far it is stretched
constexpr std::size_t kMostNames = 120;  // more points and none can be pointed at

bool has_lane(const Chart& chart) {
    const auto flag = [](const ChartMoment& moment) {
        return moment.kind == MomentKind::onset || moment.kind == MomentKind::release || moment.kind == MomentKind::unseen;
    };
    const auto work = [](const ChartSpan& span) { return span.kind != SpanKind::masked; };
    return std::any_of(chart.moments.begin(), chart.moments.end(), flag) ||
           std::any_of(chart.spans.begin(), chart.spans.end(), work);
}

// What sums up many lines or points stands out from them by a rim of paper.
bool sums_up(ChartRole role) {
    return role == ChartRole::median || role == ChartRole::block || role == ChartRole::trend;
}

class Drawing {
public:
    Drawing(const Chart& chart, const ChartPlace& place, const PageWords& words)
        : chart_(chart), place_(place), words_(words), y_(whole_decades(chart.y)) {}
    Html draw();

private:
    PlotScale scale() const { return {chart_.x, y_, place_.height}; }
    double floor() const { return kAbove + place_.height; }
    double lane() const { return has_lane(chart_) ? kLane : 0.0; }
    double at_y(double value) const { return kAbove + pixel_up(scale(), value); }
    Html at_x(double value) const { return html_number(100.0 * fraction_of(chart_.x, value), 3); }
    bool inside(double x) const { return x >= chart_.x.low && x <= chart_.x.high; }

    void open();
    void spans();
    void grid();
    Html stretched(const Html& paths) const;
    void bands();
    void lines();
    void levels();
    void moments();
    void points();
    void axis_across();
    void flag(const ChartMoment& moment);
    void point(const ChartPoint& point);

    const Chart& chart_;
    const ChartPlace& place_;
    const PageWords& words_;
    Axis y_;
    Html out_;
};

Html Drawing::draw() {
    open();
    spans();
    grid();
    bands();
    lines();
    points();  // on top: what sums them up would hide the nearest ones
    levels();
    moments();
    axis_across();
    out_ << "</svg>";
    return std::move(out_);
}

void Drawing::open() {
    const Html number = html_number(static_cast<double>(place_.number), 0);
    const double height = floor() + lane() + kLabels + (chart_.x.title.empty() ? 0.0 : kAxisName);
    out_ << "<svg class=\"chart\" role=\"img\" width=\"100%\" height=\"" << html_number(height)
         << "\" aria-labelledby=\"c" << number << "t c" << number << "d\"><title id=\"c" << number << "t\">"
         << html_text(chart_.title, kLongestHtmlTitle) << "</title><desc id=\"c" << number << "d\">"
         << html_text(chart_.description) << "</desc>";
}

void Drawing::spans() {
    const auto masked = [](const ChartSpan& span) { return span.kind == SpanKind::masked; };
    if (std::any_of(chart_.spans.begin(), chart_.spans.end(), masked)) {
        out_ << "<pattern id=\"c" << html_number(static_cast<double>(place_.number), 0)
             << "h\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\"><path class=\"hatch\" d=\"M-1 7 7-1M-1 1"
                " 1-1M5 7 7 5\"/></pattern>";
    }
    for (const ChartSpan& span : chart_.spans) {
        const double begin = std::clamp(fraction_of(chart_.x, span.at.begin_s), 0.0, 1.0);
        const double end = std::clamp(fraction_of(chart_.x, span.at.end_s), 0.0, 1.0);
        if (end <= begin) continue;
        const Html across = Html() << "x=\"" << html_number(100.0 * begin, 3) << "%\" width=\""
                                   << html_number(100.0 * (end - begin), 3) << "%\"";
        out_ << "<rect " << across << " y=\"" << html_number(kAbove) << "\" height=\"" << html_number(place_.height);
        if (masked(span)) {
            out_ << "\" fill=\"url(#c" << html_number(static_cast<double>(place_.number), 0) << "h)\"/>";
        } else {
            out_ << "\" class=\"tint\"/><rect " << across << " y=\"" << html_number(floor() + 1.0)
                 << "\" height=\"5\" class=\"bar\"/>";
        }
    }
}

void Drawing::grid() {
    for (const Tick& tick : axis_ticks(y_, place_.ticks_up, words_)) {
        const Html y = html_number(at_y(tick.value));
        out_ << "<line class=\"grid" << (tick.value == 0.0 ? Html() << " zero" : Html()) << "\" x2=\"100%\" y1=\"" << y
             << "\" y2=\"" << y << "\"/><text class=\"up\" x=\"-7\" y=\"" << html_number(at_y(tick.value) + 4.0)
             << "\">" << html_text(tick.label) << "</text>";
    }
    if (!y_.unit.empty()) {
        out_ << "<text class=\"unit\" x=\"-40\" y=\"9\">" << html_text(y_.unit, kLongestHtmlTitle) << "</text>";
    }
    const Html y = html_number(floor());
    if (y_.low >= 0.0) out_ << "<line class=\"edge\" x2=\"100%\" y1=\"" << y << "\" y2=\"" << y << "\"/>";
}

// A picture inside the picture, as wide as the plot and stretched to it.
Html Drawing::stretched(const Html& paths) const {
    return Html() << "<svg class=\"data\" width=\"100%\" y=\"" << html_number(kAbove) << "\" height=\""
                  << html_number(place_.height) << "\" viewBox=\"0 0 1000 " << html_number(place_.height)
                  << "\" preserveAspectRatio=\"none\">" << paths << "</svg>";
}

void Drawing::bands() {
    if (chart_.bands.empty()) return;
    Html paths;
    for (const ChartBand& band : chart_.bands) {
        paths << "<path class=\"area " << role_class(band.role) << "\" d=\""
              << area_between(scale(), band.x, band.low, band.high) << "\"/>";
    }
    out_ << stretched(paths);
}

void Drawing::lines() {
    if (chart_.lines.empty()) return;
    Html paths;
    for (const ChartLine& line : chart_.lines) {
        const Html role = role_class(line.role);
        if (line.filled) paths << "<path class=\"under\" d=\"" << area_to_axis(scale(), line) << "\"/>";
        const bool area = !line.low.empty();
        const Html path = area ? area_between(scale(), line.x, line.low, line.y) : line_path(scale(), line);
        if (sums_up(line.role)) paths << "<path class=\"line halo\"" << kSteadyStroke << path << "\"/>";
        paths << (area ? Html() << "<path class=\"between " : Html() << "<path class=\"line ") << role << "\""
              << kSteadyStroke << path << "\"/>";
    }
    out_ << stretched(paths);
}

// Two are named over the plot, where nothing is drawn, at its right and left end (on a narrow screen the second one a
// line lower: there is room for one); others on their line.
void Drawing::levels() {
    int named = 0;
    for (const ChartLevel& level : chart_.levels) {
        const Html y = html_number(at_y(level.y));
        out_ << "<line class=\"level " << role_class(level.role) << "\" x2=\"100%\" y1=\"" << y << "\" y2=\"" << y
             << "\"/>";
        if (level.label.empty()) continue;
        const Html place = named == 1 ? Html() << " x=\"4\" text-anchor=\"start\"" : Html() << " x=\"100%\" text-anchor=\"end\"";
        out_ << "<text class=\"label " << role_class(level.role) << (named == 1 ? Html() << " second" : Html()) << "\"" << place << " y=\""
             << html_number(named < 2 ? 9.0 : at_y(level.y) - 4.0) << "\">" << html_text(level.label, kLongestHtmlTitle)
             << "</text>";
        ++named;
    }
}

// Onsets are full and point to what follows, releases are hollow and point back.
void Drawing::flag(const ChartMoment& moment) {
    out_ << "<svg class=\"mark\" x=\"" << at_x(moment.x) << "%\" y=\"" << html_number(floor() + 8.0) << "\">";
    if (moment.kind == MomentKind::onset)
        out_ << "<path class=\"onset\" d=\"M0 0v8L7 4z\"/>";
    else if (moment.kind == MomentKind::unseen)
        out_ << "<circle class=\"unseen\" cy=\"4\" r=\"3.5\"/>";
    else
        out_ << "<path class=\"release\" d=\"M0 0v8L-7 4z\"/>";
    out_ << "</svg>";
}

void Drawing::moments() {
    for (const ChartMoment& moment : chart_.moments) {
        if (!inside(moment.x)) continue;
        const Html x = at_x(moment.x);
        if (moment.kind == MomentKind::change) {
            out_ << "<line class=\"change\" x1=\"" << x << "%\" x2=\"" << x << "%\" y1=\"14\" y2=\""
                 << html_number(floor()) << "\"/><text class=\"label\" x=\"" << x << "%\" y=\"11\" text-anchor=\""
                 << (fraction_of(chart_.x, moment.x) > 0.6 ? Html() << "end" : Html() << "start") << "\">"
                 << html_text(moment.label, kLongestHtmlTitle) << "</text>";
        } else if (moment.kind == MomentKind::missing) {
            out_ << "<svg class=\"mark\" x=\"" << x << "%\" y=\"" << html_number(floor() - 6.0) << "\"><title>"
                 << html_text(moment.label, kLongestHtmlTitle)
                 << "</title><path class=\"missing\" d=\"M-3-3 3 3M-3 3 3-3\"/></svg>";
        } else {
            flag(moment);
        }
    }
}

// Short markup: a page may hold thousands.
void Drawing::point(const ChartPoint& point) {
    out_ << "<svg x=\"" << html_number(100.0 * fraction_of(chart_.x, point.x), 2) << "%\" y=\""
         << html_number(at_y(point.y)) << "\">";
    if (!point.name.empty() && chart_.points.size() <= kMostNames)
        out_ << "<title>" << html_text(point.name, kLongestHtmlTitle) << "</title>";
    if (point.low && point.high) {
        out_ << "<line y1=\"" << html_number(at_y(*point.low) - at_y(point.y)) << "\" y2=\""
             << html_number(at_y(*point.high) - at_y(point.y)) << "\"/>";
    }
    switch (point.shape) {
        case PointShape::disc: out_ << "<circle r=\"3.4\"/>"; break;
        case PointShape::diamond: out_ << "<path d=\"M0-5 4 0 0 5-4 0z\"/>"; break;
        case PointShape::square: out_ << "<path d=\"M-3-3h6v6h-6z\"/>"; break;
        case PointShape::ring: out_ << "<circle class=\"hollow\" r=\"2.6\"/>"; break;
    }
    out_ << "</svg>";
}

void Drawing::points() {
    if (chart_.points.empty()) return;
    out_ << "<g class=\"points\">";
    for (const ChartPoint& each : chart_.points) {
        if (inside(each.x)) point(each);
    }
    out_ << "</g>";
}

void Drawing::axis_across() {
    const double y = floor() + lane() + 15.0;
    const std::vector<Tick> ticks = axis_ticks(chart_.x, place_.ticks_across, words_);
    double shown_to = -kNarrowPlot;  // end of the last label that a narrow screen shows
    for (std::size_t i = 0; i < ticks.size(); ++i) {
        const Html x = at_x(ticks[i].value);
        const double at = fraction_of(chart_.x, ticks[i].value), width = kLetter * static_cast<double>(ticks[i].label.size());
        const bool sticks_out = ticks[i].label.size() > 3 && at > 0.97;
        const double begin = kNarrowPlot * at - (sticks_out ? width : width / 2.0);
        const bool fine = (i % 2 == 1 && ticks.size() > 6) || begin < shown_to + kLetter;
        if (!fine) shown_to = begin + width;
        out_ << "<line class=\"tick\" x1=\"" << x << "%\" x2=\"" << x << "%\" y1=\"" << html_number(floor() + lane())
             << "\" y2=\"" << html_number(floor() + lane() + 4.0) << "\"/><text class=\""
             << (fine ? Html() << "across" << " fine" : Html() << "across")
             << (sticks_out ? Html() << " last" : Html()) << "\" x=\"" << x << "%\" y=\"" << html_number(y) << "\">"
             << html_text(ticks[i].label) << "</text>";
    }
    if (chart_.x.title.empty()) return;
    out_ << "<text class=\"name\" x=\"100%\" y=\"" << html_number(y + kAxisName) << "\">"
         << html_text(chart_.x.title + (chart_.x.unit.empty() ? "" : ", " + chart_.x.unit), kLongestHtmlTitle)
         << "</text>";
}

}  // namespace

Html svg_chart(const Chart& chart, const ChartPlace& place, const PageWords& words) {
    return Drawing(chart, place, words).draw();
}

Html role_class(ChartRole role) {
    switch (role) {
        case ChartRole::data: return Html() << "r-data";
        case ChartRole::each: return Html() << "r-each";
        case ChartRole::median: return Html() << "r-median";
        case ChartRole::later: return Html() << "r-later";
        case ChartRole::band: return Html() << "r-band";
        case ChartRole::later_band: return Html() << "r-laterband";
        case ChartRole::threshold: return Html() << "r-threshold";
        case ChartRole::target: return Html() << "r-target";
        case ChartRole::trend: return Html() << "r-trend";
        case ChartRole::block: return Html() << "r-block";
        case ChartRole::centre: return Html() << "r-centre";
        case ChartRole::limit: return Html() << "r-limit";
        case ChartRole::outer_limit: return Html() << "r-outer";
    }
    return {};
}

}  // namespace tracehold
