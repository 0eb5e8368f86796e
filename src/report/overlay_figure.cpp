#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "report/axis_ticks.hpp"
#include "report/en/figures.hpp"
#include "report/overlay.hpp"
#include "report/session_sections.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/quantity.hpp"
#include "tracehold/report/session_figures.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kFewestForMedian = 3;

std::string microvolts(double value) { return quantity_text(Estimate::of(value), "µV"); }

double top_of(const Overlay& overlay) {
    double top = 0.0;
    for (const auto& line : overlay.lines) {
        for (const float value : line) top = std::max(top, std::isnan(value) ? 0.0 : static_cast<double>(value));
    }
    return top;
}

std::string peak_text(const Overlay& overlay, const std::vector<float>& median) {
    std::size_t best = median.size();
    for (std::size_t k = 0; k < median.size(); ++k) {
        if (!std::isnan(median[k]) && (best == median.size() || median[k] > median[best])) best = k;
    }
    if (best == median.size()) return {};
    return fmt::format(words::kMedianSays, microvolts(median[best]), fixed_text(overlay.times[best], 1));
}

Chart chart_of(const SessionScore& score, const Overlay& overlay, StepKind kind) {
    const bool cued = score.cues != CueSource::trace;
    Chart chart;
    chart.title = counted_kind(overlay.lines.size(), kind);
    const double step = overlay.times.size() > 1 ? overlay.times[1] - overlay.times[0] : 1.0;
    chart.x = {std::string(cued ? words::kFromCue : words::kFromStart), "s", AxisScale::linear, overlay.times.front(),
               overlay.times.back() + step};
    const double top = std::max(top_of(overlay), score.threshold_uv.value.value_or(0.0));
    chart.y = {"", "µV", AxisScale::linear, 0.0, axis_top(top)};
    if (cued) chart.spans = {{SpanKind::work, {0.0, overlay.work_s}}};
    const bool many = overlay.lines.size() >= kFewestForMedian;
    for (const auto& line : overlay.lines) {
        chart.lines.push_back(
            {many ? ChartRole::each : ChartRole::data, words::kEachContraction, overlay.times, line});
    }
    std::string says;
    if (many) {
        chart.lines.push_back(
            {ChartRole::median, words::kMedian, overlay.times, share_line(overlay, 0.5)});
        says = peak_text(overlay, chart.lines.back().y);
    }
    if (score.threshold_uv) {
        const double value = *score.threshold_uv.value;
        chart.levels = {{ChartRole::threshold, value, fmt::format("threshold {} µV", microvolts(value))}};
    }
    chart.remark = says;
    chart.description =
        fmt::format(words::kOverlayChartSays, chart.title, cued ? words::kAtCue : words::kAtStart, says);
    return chart;
}

// A dozen stretches of each kind: what one would read off. The extremes are those of the whole stretch, as drawn.
void add_rows(ReportTable& table, const Overlay& overlay, StepKind kind) {
    static constexpr std::size_t kRows = 14;
    const auto median = share_line(overlay, 0.5), low = share_line(overlay, 0.0), high = share_line(overlay, 1.0);
    const std::size_t step = std::max<std::size_t>(1, overlay.times.size() / kRows);
    const auto less = [](float a, float b) { return !std::isnan(a) && (std::isnan(b) || a < b); };
    const auto greater = [](float a, float b) { return !std::isnan(a) && (std::isnan(b) || a > b); };
    for (std::size_t k = 0; k < overlay.times.size(); k += step) {
        const std::size_t end = std::min(overlay.times.size(), k + step), middle = (k + end) / 2;
        if (std::isnan(median[middle])) continue;
        table.rows.push_back({{std::string(to_string(kind))},
                              {with_minus(fixed_text(overlay.times[middle], 1))},
                              {microvolts(median[middle])},
                              {microvolts(*std::min_element(low.begin() + k, low.begin() + end, less))},
                              {microvolts(*std::min_element(high.begin() + k, high.begin() + end, greater))}});
    }
}

}  // namespace

std::optional<Figure> overlay_figure(const SessionScore& score, const Envelope& envelope) {
    const bool cued = score.cues != CueSource::trace;
    Figure figure{std::string(cued ? words::kOverlayTitle : words::kOverlayTitleUncued)};
    figure.description = fmt::format(words::kOverlaySays, cued ? words::kAtCue : words::kAtStart);
    figure.table.columns = {{words::kKindColumn},
                            {cued ? words::kFromTheCue_s : words::kFromTheStart_s, true},
                            {words::kMedianUv, true},
                            {words::kLowestAboutThenUv, true},
                            {words::kHighestAboutThenUv, true}};
    for (const StepKind kind : {StepKind::hold, StepKind::rapid, StepKind::endurance}) {
        const Overlay overlay = lay_over(score, envelope, kind);
        if (overlay.lines.empty() || !(top_of(overlay) > 0.0)) continue;
        figure.charts.push_back(chart_of(score, overlay, kind));
        add_rows(figure.table, overlay, kind);
    }
    if (figure.charts.empty()) return std::nullopt;
    return figure;
}

}  // namespace tracehold
