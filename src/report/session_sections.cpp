#include "report/session_sections.hpp"
#include "report/en/session.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/cycle_view.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/measures/possible_range.hpp"
#include "tracehold/report/quantity.hpp"
#include "tracehold/statistics/mann_kendall.hpp"
#include "tracehold/statistics/theil_sen.hpp"

namespace tracehold {
namespace {

// What a clinician asks about first: how much, how quiet in between, how fast, how lasting.
constexpr std::array<std::string_view, 5> kBrief = {"hold_mean_uv", "rest_mean_uv", "time_to_hold_s", "release_s",
                                                    "fade_pct"};
constexpr std::array<std::string_view, 7> kOfCycles = {"work_mean_uv",   "hold_mean_uv", "rest_mean_uv", "reaction_s",
                                                       "time_to_hold_s", "release_s",    "fade_pct"};

constexpr double kMuchFade_pct = -20.0;  // as the rule 'fading_within_holds' of a course has it
constexpr double kClearFall_p = 0.01, kMuchFall_pct = 20.0, kSameLength_s = 0.5;  // our choices

void append(std::vector<std::size_t>& places, std::string_view key) {
    const auto place = measure_index(key);
    if (place && std::find(places.begin(), places.end(), *place) == places.end()) places.push_back(*place);
}

int decimals_of_mean(const Summary& summary, std::string_view unit) {
    std::optional<double> error;
    if (summary.sd && summary.n > 1) error = *summary.sd / std::sqrt(static_cast<double>(summary.n));
    return decimals_for(error, unit, summary.mean.value_or(0.0));
}

}  // namespace

std::vector<std::size_t> brief_measures(const SessionScore& score) {
    std::vector<std::size_t> places = step_measures();
    if (score.threshold_uv) append(places, "above_threshold_pct");
    if (score.summary_kind == StepKind::endurance) append(places, "endurance_s");
    for (const TargetOutcome& outcome : score.targets) append(places, outcome.target.measure);
    return places;
}

std::vector<std::size_t> cycle_measures() {
    std::vector<std::size_t> places;
    for (const std::string_view key : kOfCycles) append(places, key);
    return places;
}

std::vector<std::size_t> step_measures() {
    std::vector<std::size_t> places;
    for (const std::string_view key : kBrief) append(places, key);
    return places;
}

std::string row_title(std::size_t measure) {
    const Measure& line = measure_list()[measure];
    return line.unit.empty() ? std::string(line.title) : fmt::format("{}, {}", line.title, line.unit);
}

std::string column_title(std::size_t measure) {
    const Measure& line = measure_list()[measure];
    return line.unit.empty() ? std::string(line.title) : fmt::format("{} {}", line.title, line.unit);
}

std::string counted(std::size_t count, std::string_view noun) {
    return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
}

std::string kind_noun(StepKind kind) {
    return kind == StepKind::hold ? "hold" : fmt::format("{} contraction", to_string(kind));
}

std::string counted_kind(std::size_t count, StepKind kind) { return counted(count, kind_noun(kind)); }

std::size_t busy_before(const SessionScore& score) {
    for (const Finding& finding : score.quality.findings) {
        if (finding.code == "late_release") return std::min(finding.spans.size(), score.missed);
    }
    return 0;
}

std::string step_text(const Step& step) {
    if (step.kind == StepKind::rest) return fmt::format("rest {} s", number_text(step.seconds));
    const std::string work = fmt::format("{} {} s, rest {} s", to_string(step.kind), number_text(step.seconds),
                                         number_text(step.rest_seconds));
    return step.times == 1 ? work : fmt::format("{} × {}", step.times, work);
}

Cell mean_cell(const Summary& summary, std::size_t measure) {
    const Measure& line = measure_list()[measure];
    const std::string text = summary.mean ? fixed_text(*summary.mean, decimals_of_mean(summary, line.unit)) : "–";
    return {with_minus(text), 0, std::string(line.key)};
}

std::string interval_text(const Summary& summary, std::size_t measure, std::string_view between) {
    const std::string mean = mean_cell(summary, measure).text;
    const std::size_t point = mean.find('.');
    const int decimals = point == std::string::npos ? 0 : static_cast<int>(mean.size() - point - 1);
    const PossibleRange possible = possible_range(measure_list()[measure]);
    return with_minus(fixed_text(std::max(*summary.ci95_low, possible.low), decimals)) + std::string(between) +
           with_minus(fixed_text(std::min(*summary.ci95_high, possible.high), decimals));
}

Cell sd_cell(const Summary& summary, std::size_t measure) {
    const std::string_view unit = measure_list()[measure].unit;
    if (!summary.sd) return {"–"};
    const int decimals = decimals_of_mean(summary, unit);
    const std::string text = fixed_text(*summary.sd, decimals);
    const bool vanishes = *summary.sd > 0.0 && parse_number(text) == 0.0;
    return {vanishes ? "<" + fixed_text(std::pow(10.0, -decimals), decimals) : text};
}

LetGoEarly holds_let_go_early(const SessionScore& score) {
    const std::size_t release = *measure_index("release_s");
    LetGoEarly found;
    if (score.summary_kind == StepKind::rapid) return found;
    for (const ScoredCycle& scored : score.cycles) {
        if (scored.cycle.status != CycleStatus::done || scored.cycle.kind != score.summary_kind) continue;
        ++found.of;
        found.early += scored.values[release].reason == kLetGoBefore;
    }
    return found;
}

std::optional<double> clear_fade_pct(const SessionScore& score) {
    const Summary& fade = score.measures[*measure_index("fade_pct")];
    if (score.cues == CueSource::trace || holds_let_go_early(score).mostly()) return std::nullopt;
    return fade.mean && fade.ci95_high && *fade.ci95_high < kMuchFade_pct ? fade.mean : std::nullopt;
}

std::size_t extra_seen(const SessionScore& score) {
    const auto told_alone = std::count_if(score.cycles.begin(), score.cycles.end(), [](const ScoredCycle& scored) {
        const auto& corrected = scored.cycle.corrected;
        return scored.cycle.status == CycleStatus::extra && !scored.cycle.onset &&
               std::find(corrected.begin(), corrected.end(), "added") != corrected.end();
    });
    return score.extra - static_cast<std::size_t>(told_alone);
}

std::optional<ActivityFall> activity_fall(const SessionScore& score) {
    const std::size_t work = *measure_index("work_mean_uv");
    std::vector<double> times, values;
    double shortest_s = 0.0, longest_s = 0.0;
    for (const ScoredCycle& scored : score.cycles) {
        const Cycle& cycle = scored.cycle;
        if (cycle.status != CycleStatus::done || cycle.kind != StepKind::hold || !scored.values[work]) continue;
        const double length_s = cycle.work.length_s();
        shortest_s = times.empty() ? length_s : std::min(shortest_s, length_s);
        longest_s = std::max(longest_s, length_s);
        times.push_back(cycle.work.begin_s);
        values.push_back(*scored.values[work].value);
    }
    const auto trend = mann_kendall(times, values);
    const auto line = theil_sen(times, values);
    if (!trend || !line || longest_s - shortest_s > kSameLength_s || trend->p >= kClearFall_p) return std::nullopt;
    const ActivityFall fall{line->intercept + line->slope * times.front(), line->intercept + line->slope * times.back()};
    return fall.from_uv > 0.0 && fall.percent() > kMuchFall_pct ? std::optional(fall) : std::nullopt;
}

Cell ReasonNotes::about(std::string text, const std::string& reason) {
    if (reason.empty()) return {std::move(text)};
    // A result names the finding by its code; the page tells it in words.
    const std::string told = reason.starts_with(words::kTheSignalWasRejected) ? words::kRejected : reason;
    auto place = std::find(notes_.begin(), notes_.end(), told);
    if (place == notes_.end()) place = notes_.insert(notes_.end(), told);
    return {std::move(text), static_cast<std::size_t>(place - notes_.begin()) + 1, {}};
}

std::vector<ReasonCount> reasons_of(const SessionScore& score, StepKind kind, std::size_t measure) {
    std::vector<ReasonCount> counts;
    for (const ScoredCycle& scored : score.cycles) {
        const bool counts_here = scored.cycle.kind == kind && scored.cycle.status == CycleStatus::done;
        if (!counts_here || scored.values[measure]) continue;
        const std::string& reason = scored.values[measure].reason;
        auto place =
            std::find_if(counts.begin(), counts.end(), [&](const ReasonCount& count) { return count.reason == reason; });
        if (place == counts.end()) place = counts.insert(counts.end(), {reason, 0});
        ++place->times;
    }
    std::stable_sort(counts.begin(), counts.end(), [](const ReasonCount& a, const ReasonCount& b) { return a.times > b.times; });
    return counts;
}

std::string reasons_text(const SessionScore& score, StepKind kind, std::size_t measure) {
    const std::vector<ReasonCount> counts = reasons_of(score, kind, measure);
    if (counts.size() == 1) return counts.front().reason;
    std::string text;
    for (const ReasonCount& count : counts) text += fmt::format("{}{} × {}", text.empty() ? "" : "; ", count.times, count.reason);
    return text;
}

}  // namespace tracehold
