#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/session_sections.hpp"
#include "report/en/session.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/figure_data.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

// Our choice: finer than paper or screen shows, for the longest recordings in the twelve rows of a page.
constexpr double kValuesPerSecond = 3.0, kFewestTraced = 2000.0, kMostTraced = 8400.0;

std::size_t values_of_figure(const Envelope& envelope) {
    const double length_s = time_of(envelope.uv.size(), envelope.rate);
    return static_cast<std::size_t>(std::clamp(kValuesPerSecond * length_s, kFewestTraced, kMostTraced));
}

std::vector<TimeSpan> masked_spans(const Envelope& envelope) {
    std::vector<TimeSpan> spans;
    for (std::size_t i = 0; i < envelope.uv.size();) {
        if (!std::isnan(envelope.uv[i])) {
            ++i;
            continue;
        }
        const std::size_t begin = i;
        while (i < envelope.uv.size() && std::isnan(envelope.uv[i])) ++i;
        spans.push_back({time_of(begin, envelope.rate), time_of(i, envelope.rate)});
    }
    return spans;
}

void mark_cycles(TraceFigure& figure, const SessionScore& score) {
    figure.cued = score.cues != CueSource::trace;
    for (const ScoredCycle& scored : score.cycles) {
        const Cycle& cycle = scored.cycle;
        if (cycle.status != CycleStatus::extra) figure.work.push_back(cycle.work);
        if (cycle.status == CycleStatus::missed) figure.unseen_s.push_back(0.5 * (cycle.work.begin_s + cycle.work.end_s));
        if (cycle.onset) figure.onsets_s.push_back(cycle.onset->time_s);
        if (cycle.offset) figure.offsets_s.push_back(cycle.offset->time_s);
    }
}

void read_off(TraceFigure& figure, const SessionScore& score, const Envelope& envelope) {
    const auto microvolts = [](double value) { return quantity_text(Estimate::of(value), "µV") + " µV"; };
    const std::string length = duration_text(Seconds{time_of(envelope.uv.size(), envelope.rate)});
    if (!figure.masked.empty()) figure.key_values.push_back({words::kMasked, spans_text(figure.masked), "masked_s"});
    if (!score.quality.usable) {
        figure.description = fmt::format(words::kEnvelopeRejected, score.recording.channel, length);
        return;
    }
    const auto smaller = [](float a, float b) { return std::isnan(a) ? !std::isnan(b) : a < b; };
    const auto highest = std::max_element(envelope.uv.begin(), envelope.uv.end(), smaller);
    if (highest == envelope.uv.end() || std::isnan(*highest)) {
        figure.description = fmt::format(words::kEnvelopeBlank, score.recording.channel, length);
        return;
    }
    const double at_s = time_of(static_cast<std::size_t>(highest - envelope.uv.begin()), envelope.rate);
    figure.description =
        fmt::format(words::kEnvelopeSays, score.recording.channel, length, quantity_text(Estimate::of(*highest), "µV"),
                    fixed_text(at_s, 1), counted(figure.work.size(), figure.cued ? words::kWorkWindow : "contraction"));
    std::vector<Fact> read = {{words::kHighest, fmt::format("{} at {} s", microvolts(*highest), fixed_text(at_s, 1))},
                              {words::kQuietestLevel, microvolts(score.noise_floor_uv), "noise_floor_uv"}};
    if (score.threshold_uv) read.push_back({words::kThresholdRow, microvolts(*score.threshold_uv.value), "threshold_uv"});
    figure.key_values.insert(figure.key_values.begin(), read.begin(), read.end());
}

// The one target that is a level of the envelope itself.
std::optional<ChartLevel> target_for_rest(const SessionScore& score) {
    for (const TargetOutcome& outcome : score.targets) {
        const Target& target = outcome.target;
        if (target.measure != "rest_mean_uv" || !target.below) continue;
        return ChartLevel{ChartRole::target, *target.below, fmt::format(words::kTargetForRestBelowUv, number_text(*target.below))};
    }
    return std::nullopt;
}

}  // namespace

Section envelope_section(const SessionScore& score, const Envelope& envelope) {
    PeakTrace peaks = keep_peaks(envelope.uv, envelope.rate, values_of_figure(envelope));
    TraceFigure figure;
    figure.title = fmt::format(words::kEnvelopeTitle, score.recording.channel);
    figure.step_s = peaks.step_s;
    figure.y = std::move(peaks.y);
    figure.y_low = std::move(peaks.low);
    figure.y_unit = "µV";
    figure.masked = masked_spans(envelope);
    figure.threshold = score.threshold_uv.value;
    if (const auto target = target_for_rest(score)) figure.targets.push_back(*target);
    mark_cycles(figure, score);
    read_off(figure, score, envelope);
    return {words::kEnvelope, {figure}};
}

}  // namespace tracehold
