// The first screen: who and when, then the three questions of a clinician with a minute.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "report/session_sections.hpp"
#include "report/session_words.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

// More than this and the answer leaves the first screen; our choice.
constexpr std::size_t kFindingsInBrief = 3;

// The name and the contractions; rests stand in the table of steps.
std::string plan_text(const SessionScore& score) {
    if (!score.plan) return std::string(words::kNoPlan);
    std::string steps;
    for (const Step& step : score.plan->steps) {
        if (step.kind == StepKind::rest) continue;
        steps += fmt::format("{}{} × {} {} s", steps.empty() ? "" : ", ", step.times, to_string(step.kind),
                             number_text(step.seconds));
    }
    return score.plan->name.empty() ? steps : score.plan->name + ": " + steps;
}

std::string_view or_else(std::string_view text, std::string_view otherwise) { return text.empty() ? otherwise : text; }

// "hold 5 of 5, rapid 4 of 5"; empty where there is one kind only.
std::string by_kind(const SessionScore& score) {
    std::string text;
    std::size_t kinds = 0;
    for (const StepKind kind : {StepKind::hold, StepKind::rapid, StepKind::endurance}) {
        std::size_t done = 0, planned = 0;
        for (const StepScore& step : score.steps) {
            if (step.kind == kind) done += step.done, planned += step.planned;
        }
        if (planned == 0) continue;
        text += fmt::format("{}{} {} of {}", kinds++ == 0 ? "" : ", ", to_string(kind), done, planned);
    }
    return kinds > 1 ? ": " + text : "";
}

Answer did_it_happen(const SessionScore& score) {
    Answer answer{std::string(words::kDidItHappen), {}, Tone::plain, {}};
    if (!score.quality.usable) {
        answer.text = words::kCannotBeTold;
        return answer;
    }
    if (score.cues == CueSource::trace) {
        const std::size_t found = score.done + score.extra;
        answer.text = fmt::format(words::kFoundInTrace, found == 0 ? "No contraction" : counted(found, "contraction"));
        return answer;
    }
    answer.text = score.plan ? fmt::format(words::kPlannedDone, score.done, score.planned, by_kind(score))
                             : fmt::format(words::kCuedDone, score.done, score.planned);
    const std::size_t recorded = score.done + score.missed + score.unusable;
    if (score.planned > recorded) answer.text += ' ' + fmt::format(words::kNotRecorded, score.planned - recorded);
    if (score.missed > 0) answer.text += ' ' + fmt::format(words::kMissed, score.missed);
    if (score.unusable > 0) answer.text += ' ' + fmt::format(words::kUnusable, score.unusable);
    if (score.extra > 0) answer.text += ' ' + fmt::format(words::kExtra, score.extra);
    return answer;
}

std::string finding_text(const Finding& finding) {
    const std::string where = finding.spans.empty() ? "" : fmt::format(" ({})", spans_text(finding.spans));
    return fmt::format("{}: {}{}", severity_word(finding.severity), finding.text, where);
}

// The gravest first, in the order found.
std::vector<const Finding*> grave_findings(const Quality& quality) {
    std::vector<const Finding*> findings;
    for (const Severity severity : {Severity::reject, Severity::caution}) {
        for (const Finding& finding : quality.findings) {
            if (finding.severity == severity) findings.push_back(&finding);
        }
    }
    return findings;
}

// "2 cautions, 1 note, 1 correction by hand"
std::string what_counts(const SessionScore& score) {
    std::string text;
    const auto add = [&](std::size_t count, std::string_view noun, std::string_view more = {}) {
        if (count > 0) text += fmt::format("{}{}{}", text.empty() ? "" : ", ", counted(count, noun), more);
    };
    const auto with = [&](Severity severity) {
        const auto& findings = score.quality.findings;
        return static_cast<std::size_t>(std::count_if(
            findings.begin(), findings.end(), [&](const Finding& finding) { return finding.severity == severity; }));
    };
    add(with(Severity::caution) + (score.cues == CueSource::aligned ? 1 : 0), "caution");
    add(with(Severity::note), "note");
    add(score.corrections.size(), "correction", " by hand");
    return text;
}

Answer can_it_be_trusted(const SessionScore& score) {
    Answer answer{std::string(words::kTrusted), {}, Tone::plain, {}};
    const auto findings = grave_findings(score.quality);
    for (std::size_t i = 0; i < std::min(findings.size(), kFindingsInBrief); ++i) {
        answer.details.push_back({finding_text(*findings[i]), tone_of(findings[i]->severity)});
    }
    if (score.cues == CueSource::aligned) {
        answer.details.push_back(
            {fmt::format(words::kCuesEstimated, confidence_text(score.cue_confidence)), Tone::caution});
    }
    const bool quiet = answer.details.empty();
    answer.tone = !score.quality.usable ? Tone::reject : quiet ? Tone::plain : Tone::caution;
    answer.text = !score.quality.usable ? words::kTrustNo : quiet ? words::kTrustQuiet : words::kTrustCare;
    const std::string counts = what_counts(score);
    if (!counts.empty()) answer.text += " " + fmt::format(words::kCounts, counts);
    return answer;
}

bool was_measured(const SessionScore& score) {
    return std::any_of(score.measures.begin(), score.measures.end(),
                       [](const Summary& summary) { return summary.n > 0; });
}

Answer what_did_it_do(const SessionScore& score) {
    Answer answer{std::string(words::kMuscle), std::string(words::kNothingMeasured), Tone::plain, {}};
    if (!was_measured(score)) return answer;
    const auto is_summed = [&](const ScoredCycle& scored) {
        return scored.cycle.kind == score.summary_kind && scored.cycle.status == CycleStatus::done;
    };
    const auto n = static_cast<std::size_t>(std::count_if(score.cycles.begin(), score.cycles.end(), is_summed));
    answer.text = fmt::format(words::kMeansOver, counted_kind(n, score.summary_kind));
    if (score.reference_uv && score.reference_cycle) {
        answer.text += ' ';
        answer.text += fmt::format(words::kBestSecond, quantity_text(score.reference_uv, "µV"), *score.reference_cycle);
    }
    if (score.threshold_uv)
        answer.text += ' ' + fmt::format(words::kThreshold, quantity_text(score.threshold_uv, "µV"));
    if (score.envelope_method == EnvelopeMethod::as_exported)
        answer.details.push_back({std::string(words::kAsExported)});
    return answer;
}

// "below 4", and where the mean stands: below, above or at it, clearly or not.
struct Standing {
    std::string target;
    std::string mean;
    bool unclear = false;
};

Standing standing(const TargetOutcome& outcome, const Summary& summary) {
    const bool below = outcome.target.below.has_value();
    const double limit = below ? *outcome.target.below : outcome.target.above.value_or(0.0);
    Standing result{fmt::format("{} {}", below ? "below" : "above", number_text(limit)), "–", false};
    if (!outcome.value) return result;
    const double value = *outcome.value.value;
    result.mean = value < limit ? "below it" : value > limit ? "above it" : "at it";
    result.unclear = summary.ci95_low && summary.ci95_high && *summary.ci95_low <= limit && limit <= *summary.ci95_high;
    if (result.unclear) result.mean += ", not clearly";
    return result;
}

std::string interval_text(const Summary& summary, std::size_t measure) {
    if (!summary.ci95_low || !summary.ci95_high) return "–";
    const Cell mean = mean_cell(summary, measure);
    const std::size_t point = mean.text.find('.');
    const int decimals = point == std::string::npos ? 0 : static_cast<int>(mean.text.size() - point - 1);
    return fixed_text(*summary.ci95_low, decimals) + " to " + fixed_text(*summary.ci95_high, decimals);
}

std::vector<Cell> brief_row(const SessionScore& score, std::size_t measure, ReasonNotes& reasons) {
    const Summary& summary = score.measures[measure];
    const Cell mean =
        summary.mean ? mean_cell(summary, measure) : reasons.dash(usual_reason(score, score.summary_kind, measure));
    return {{row_title(measure), 0, std::string(measure_list()[measure].key)},
            mean,
            sd_cell(summary, measure),
            {interval_text(summary, measure)},
            {std::to_string(summary.n)}};
}

void add_targets(ReportTable& table, const SessionScore& score, const std::vector<std::size_t>& measures) {
    table.columns.push_back({"Target set"});
    table.columns.push_back({"Mean is"});
    bool unclear = false;
    for (std::size_t row = 0; row < measures.size(); ++row) {
        std::string target, mean;
        for (const TargetOutcome& outcome : score.targets) {
            if (measure_index(outcome.target.measure) != measures[row]) continue;
            const Standing found = standing(outcome, score.measures[measures[row]]);
            target += (target.empty() ? "" : "; ") + found.target;
            mean += (mean.empty() ? "" : "; ") + found.mean;
            unclear = unclear || found.unclear;
        }
        table.rows[row].push_back({target});
        table.rows[row].push_back({mean});
    }
    if (unclear) table.caption = words::kNotClearly;
}

ReportTable brief_table(const SessionScore& score) {
    ReportTable table;
    table.columns = {{"Measure"}, {"Mean", true}, {"SD", true}, {"95 % interval", true}, {"n", true}};
    const auto measures = brief_measures(score);
    ReasonNotes reasons(table.notes);
    for (const std::size_t measure : measures) table.rows.push_back(brief_row(score, measure, reasons));
    if (!score.targets.empty()) add_targets(table, score, measures);
    return table;
}

}  // namespace

Section head_section(const SessionScore& score) {
    const RecordingFacts& recording = score.recording;
    const std::string session =
        fmt::format("{}, {}; channel {}, {}, {} Hz", or_else(recording.posture, words::kNoPosture),
                    duration_text(Seconds{recording.duration_s}), or_else(recording.channel, "1"),
                    to_string(recording.kind), number_text(recording.rate_hz));
    return {"", {Facts{{{"Session", session}, {"File", recording.source}, {"Plan", plan_text(score)}}}}};
}

Section brief_section(const SessionScore& score) {
    Section section{"", {Answers{{did_it_happen(score), can_it_be_trusted(score), what_did_it_do(score)}}}};
    if (was_measured(score)) section.blocks.push_back(brief_table(score));
    return section;
}

}  // namespace tracehold
