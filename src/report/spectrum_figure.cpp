// Idea: spectra of the work windows and of the rests, each averaged over all of them by its number of segments; drawn
// as amplitude density on a logarithmic axis, so that hum stands out of rest and of work alike.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/en/figures.hpp"
#include "tracehold/clean/welch.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/quantity.hpp"
#include "tracehold/report/session_figures.hpp"

namespace tracehold {
namespace {

constexpr double kSegment_s = 0.5;  // as for the median frequency: a line every 2 Hz
constexpr double kHighest_hz = 500.0;
constexpr double kDecades = 3.0;    // below the highest value; what lies deeper is the filter's
constexpr double kHarmonics = 4.0;  // marked; higher ones are seldom seen

// The average over spans, weighted by segments.
PowerSpectrum spectrum_over(const CleanRecording& clean, const std::vector<TimeSpan>& spans) {
    PowerSpectrum sum;
    const auto segment = std::max<std::size_t>(2, static_cast<std::size_t>(std::lround(kSegment_s * clean.rate.value)));
    for (const TimeSpan& span : spans) {
        const SampleRange range = samples_in(span, clean.rate, clean.uv.size());
        const PowerSpectrum part =
            welch_spectrum(std::span(clean.uv).subspan(range.begin, range.size()), clean.rate, segment);
        if (part.segments == 0) continue;
        if (sum.segments == 0) sum.uv2_per_hz.assign(part.uv2_per_hz.size(), 0.0);
        sum.step_hz = part.step_hz;
        sum.segments += part.segments;
        for (std::size_t k = 0; k < part.uv2_per_hz.size(); ++k)
            sum.uv2_per_hz[k] += static_cast<double>(part.segments) * part.uv2_per_hz[k];
    }
    for (double& value : sum.uv2_per_hz) value /= static_cast<double>(sum.segments);
    return sum;
}

std::vector<TimeSpan> spans_of(const SessionScore& score, bool work) {
    std::vector<TimeSpan> spans;
    for (const ScoredCycle& scored : score.cycles) {
        const Cycle& cycle = scored.cycle;
        if (cycle.status == CycleStatus::missed && work) continue;
        const double settle_s = std::min(1.0, cycle.rest.length_s() / 3.0);
        const TimeSpan span = work ? cycle.work : TimeSpan{cycle.rest.begin_s + settle_s, cycle.rest.end_s};
        if (span.length_s() > 0.0) spans.push_back(span);
    }
    return spans;
}

ChartLine line_of(const PowerSpectrum& spectrum, ChartRole role, std::string_view label, double high_hz) {
    ChartLine line{role, std::string(label)};
    for (std::size_t k = 1; k < spectrum.uv2_per_hz.size(); ++k) {
        const double hz = static_cast<double>(k) * spectrum.step_hz;
        if (hz > high_hz) break;
        line.x.push_back(static_cast<float>(hz));
        line.y.push_back(static_cast<float>(std::sqrt(spectrum.uv2_per_hz[k])));
    }
    return line;
}

std::string hum_text(const Quality& quality) {
    if (!quality.mains) return words::kNoHum;
    const MainsHum& hum = *quality.mains;
    return fmt::format(words::kHumSays, number_text(hum.hz), quantity_text(Estimate::of(hum.rms_uv), "µV"),
                       fixed_text(100.0 * hum.share_of_power, 1), hum.removed ? words::kHumTaken : words::kHumLeft);
}

void mark_mains(Chart& chart, const Quality& quality) {
    if (!quality.mains) return;
    for (double k = 1.0; k <= kHarmonics && k * quality.mains->hz < chart.x.high; ++k) {
        const std::string label = k == 1.0 ? fmt::format(words::kMainsAt, number_text(quality.mains->hz)) : "";
        chart.moments.push_back({MomentKind::change, k * quality.mains->hz, label});
    }
}

void fit_spectra(Chart& chart) {
    double high = 0.0, low = HUGE_VAL;
    for (const ChartLine& line : chart.lines) {
        for (const float value : line.y) high = std::max(high, static_cast<double>(value));
    }
    for (const ChartLine& line : chart.lines) {
        for (const float value : line.y) {
            if (value > 0.0f) low = std::min(low, static_cast<double>(value));
        }
    }
    chart.y = {"", "µV/√Hz", AxisScale::logarithmic, std::max(low, high * std::pow(10.0, -kDecades)), high};
}

std::string value_at(const ChartLine& line, double hz) {
    const auto at = std::lower_bound(line.x.begin(), line.x.end(), static_cast<float>(hz - 0.5));
    if (at == line.x.end()) return "–";
    return fixed_text(line.y[static_cast<std::size_t>(at - line.x.begin())], 3);
}

ReportTable frequency_table(const Chart& chart) {
    ReportTable table;
    table.columns = {{words::kFrequencyHz, true}};
    for (const ChartLine& line : chart.lines) table.columns.push_back({line.label + ", µV/√Hz", true});
    for (const double hz : {20.0, 30.0, 50.0, 60.0, 80.0, 100.0, 120.0, 150.0, 200.0, 250.0, 300.0, 400.0, 450.0}) {
        if (hz > chart.x.high) break;
        std::vector<Cell> row = {{fixed_text(hz, 0)}};
        for (const ChartLine& line : chart.lines) row.push_back({value_at(line, hz)});
        table.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace

std::optional<Figure> spectrum_figure(const SessionScore& score, const CleanRecording& clean) {
    if (clean.kind != ChannelKind::raw) return std::nullopt;
    const double high_hz = std::min(kHighest_hz, 0.5 * clean.rate.value);
    Chart chart{words::kSpectrumTitle};
    chart.x = {words::kFrequency, "Hz", AxisScale::linear, 0.0, high_hz};
    const auto add = [&](bool work, ChartRole role, std::string_view label) {
        const PowerSpectrum spectrum = spectrum_over(clean, spans_of(score, work));
        if (spectrum.segments > 0) chart.lines.push_back(line_of(spectrum, role, label, high_hz));
    };
    add(true, ChartRole::data, words::kWhileWorking);
    add(false, ChartRole::later, words::kWhileResting);
    fit_spectra(chart);
    if (!(chart.y.low < chart.y.high)) return std::nullopt;
    mark_mains(chart, score.quality);
    chart.description = fmt::format(words::kSpectrumSays, hum_text(score.quality));
    return Figure{chart.title, chart.description, {chart}, frequency_table(chart)};
}

}  // namespace tracehold
