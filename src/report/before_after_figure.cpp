#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/axis_ticks.hpp"
#include "report/en/figures.hpp"
#include "report/overlay.hpp"
#include "report/session_sections.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/course_figures.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kFewest = 3;
constexpr double kSameWindow_s = 0.05;  // of two work windows

std::string name_of(const SessionScore& score, std::string_view otherwise) {
    return score.recording.start ? date_text(*score.recording.start) : std::string(otherwise);
}

// The median, and the middle half as a band.
void add(Chart& chart, const Overlay& overlay, ChartRole line, ChartRole band, const std::string& name) {
    chart.bands.push_back({band, fmt::format(words::kMiddleHalf, name), overlay.times, share_line(overlay, 0.25),
                           share_line(overlay, 0.75)});
    chart.lines.push_back({line, fmt::format(words::kMedianOf, name), overlay.times, share_line(overlay, 0.5)});
}

double top_of(const Chart& chart) {
    double top = 0.0;
    for (const ChartBand& band : chart.bands) {
        for (const float value : band.high) top = std::max(top, std::isnan(value) ? 0.0 : static_cast<double>(value));
    }
    return axis_top(top);
}

std::string at(std::span<const float> x, std::span<const float> y, float time) {
    const auto place = std::lower_bound(x.begin(), x.end(), time);
    if (place == x.end()) return "–";
    const float value = y[static_cast<std::size_t>(place - x.begin())];
    return std::isnan(value) ? "–" : quantity_text(Estimate::of(value), "µV");
}

ReportTable times_table(const Chart& chart) {
    static constexpr std::size_t kRows = 14;
    ReportTable table;
    table.columns = {{words::kFromTheCue_s, true}};
    for (std::size_t i = 0; i < chart.lines.size(); ++i) {
        table.columns.push_back({chart.lines[i].label + ", µV", true});
        table.columns.push_back({chart.bands[i].label + ", µV", true});
    }
    const auto& times = chart.lines[0].x;
    for (std::size_t k = 0; k < times.size(); k += std::max<std::size_t>(1, times.size() / kRows)) {
        std::vector<Cell> row = {{with_minus(fixed_text(times[k], 1))}};
        for (std::size_t i = 0; i < chart.lines.size(); ++i) {
            const ChartBand& band = chart.bands[i];
            row.push_back({at(band.x, chart.lines[i].y, times[k])});
            row.push_back({fmt::format("{} to {}", at(band.x, band.low, times[k]), at(band.x, band.high, times[k]))});
        }
        table.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace

std::optional<Figure> before_after_figure(const SessionTrace& before, const SessionTrace& after) {
    const StepKind kind = before.score.summary_kind;
    const Overlay first = lay_over(before.score, before.envelope, kind),
                  last = lay_over(after.score, after.envelope, kind);
    if (first.lines.size() < kFewest || last.lines.size() < kFewest) return std::nullopt;
    const std::string early = name_of(before.score, words::kBefore), late = name_of(after.score, words::kAfter);
    Chart chart{words::kBeforeAfterTitle};
    add(chart, first, ChartRole::median, ChartRole::band, early);
    add(chart, last, ChartRole::later, ChartRole::later_band, late);
    chart.x = {words::kFromCue, "s", AxisScale::linear, std::min(first.times.front(), last.times.front()),
               std::max(first.times.back(), last.times.back())};
    chart.y = {"", "µV", AxisScale::linear, 0.0, top_of(chart)};
    if (std::abs(first.work_s - last.work_s) < kSameWindow_s) chart.spans = {{SpanKind::work, {0.0, first.work_s}}};
    chart.description = fmt::format(words::kBeforeAfterSays, counted_kind(first.lines.size(), kind), early,
                                    counted_kind(last.lines.size(), kind), late);
    return Figure{chart.title, chart.description, {chart}, times_table(chart)};
}

}  // namespace tracehold
