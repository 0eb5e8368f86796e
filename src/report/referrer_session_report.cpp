#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>

#include "report/doubts.hpp"
#include "report/local_text.hpp"
#include "report/patient_sections.hpp"
#include "report/referrer_parts.hpp"
#include "report/session_sections.hpp"
#include "report/verdict.hpp"
#include "report/words.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/absent_contractions.hpp"
#include "tracehold/measures/cycle_view.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/report/compose_referrer_report.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

bool is_quiet(const SessionScore& score) {
    return std::none_of(score.quality.findings.begin(), score.quality.findings.end(),
                        [](const Finding& finding) { return finding.severity != Severity::note; });
}

Answer recorded(const SessionScore& score, Language language) {
    const RecordingFacts& recording = score.recording;
    const std::string posture =
        recording.posture.empty() ? say<Say::no_posture>(language) : posture_words(recording.posture, language);
    Answer answer{.question = say<Say::was_recorded>(language),
                  .text = say<Say::recorded_session>(language, recording.channel.empty() ? "1" : recording.channel,
                                                     posture, duration_text(Seconds{recording.duration_s}))};
    const bool quiet = is_quiet(score);
    answer.tone = !score.quality.usable ? Tone::reject : quiet ? Tone::plain : Tone::caution;
    answer.details.push_back({!score.quality.usable ? say<Say::signal_no>(language)
                              : quiet               ? say<Say::signal_quiet>(language)
                                                    : say<Say::signal_care>(language)});
    const std::string found = doubts_of(score, language);
    if (!found.empty()) answer.details.push_back({say<Say::signal_found>(language, found)});
    if (score.envelope_method == EnvelopeMethod::as_exported) answer.details.push_back({say<Say::exported>(language)});
    if (rest_reads_low(score)) answer.details.push_back({say<Say::level_subtracted>(language)});
    if (!score.corrections.empty()) answer.details.push_back({say<Say::corrections_made>(language, score.corrections.size())});
    return answer;
}

template <Say key>
void tell_count(Answer& answer, std::size_t count, Language language) {
    if (count > 0) answer.text += " " + say<key>(language, count);
}

Answer performed(const SessionScore& score, Language language) {
    Answer answer{.question = say<Say::as_planned>(language)};
    if (!score.quality.usable) {
        answer.text = say<Say::cannot_be_told>(language);
        return answer;
    }
    if (score.cues == CueSource::trace) {
        answer.text = say<Say::found_in_trace>(language, score.done + score.extra);
        return answer;
    }
    if (marks_of_another_plan(score) || has_finding(score.quality, "marks_exchanged")) {
        answer.text = marks_of_another_plan(score) ? say<Say::other_marks>(language) : say<Say::cannot_be_told>(language);
        return answer;
    }
    answer.text = score.plan ? say<Say::planned_done>(language, score.done, score.planned)
                             : say<Say::cued_done>(language, score.done, score.planned);
    if (unseen_may_be_done(score))
        tell_count<Say::missed_untold>(answer, score.missed, language);
    else
        tell_count<Say::missed>(answer, score.missed, language);
    tell_count<Say::unusable>(answer, score.unusable, language);
    tell_count<Say::extra>(answer, score.extra, language);
    tell_count<Say::not_recorded>(answer, unrecorded(score), language);
    tell_count<Say::left_out>(answer, left_out_by_hand(score), language);
    if (cues_may_be_off(score)) answer.details.push_back({say<Say::at_their_cues>(language)});
    if (score.cues == CueSource::aligned) answer.details.push_back({say<Say::estimated>(language)});
    return answer;
}

const TargetOutcome* outcome_of(const SessionScore& score, std::string_view key) {
    for (const TargetOutcome& outcome : score.targets) {
        if (outcome.target.measure == key) return &outcome;
    }
    return nullptr;
}

// "3.02 (2.86–3.18; n = 8)": mean and interval as the clinician's table has them. None of these measures can be below 0.
std::string mean_and_interval(const Summary& summary, std::size_t measure) {
    const bool known = summary.ci95_low && summary.ci95_high && *summary.ci95_low != *summary.ci95_high;
    const std::string interval = known ? interval_text(summary, measure, "–") + "; " : "";
    return fmt::format("{} ({}n = {})", mean_cell(summary, measure).text, interval, summary.n);
}

std::string mean_text(const SessionScore& score, std::size_t place, Language language) {
    const Measure& measure = measure_list()[place];
    const std::string name = referrer_name(measure.key, language), unit(measure.unit);
    const std::string value = local_number(mean_and_interval(score.measures[place], place), language);
    const TargetOutcome* outcome = outcome_of(score, measure.key);
    if (outcome == nullptr || verdict_on(score, *outcome) == Verdict::subtracted) return say<Say::mean_of>(language, name, value, unit);
    const Target& target = outcome->target;
    const std::string limit = local_number(number_text(target.below.value_or(target.above.value_or(0.0))), language);
    const std::string text = target.below ? say<Say::mean_and_target_below>(language, name, value, unit, limit)
                                          : say<Say::mean_and_target_above>(language, name, value, unit, limit);
    return verdict_on(score, *outcome) == Verdict::doubtful ? text + say<Say::target_in_doubt>(language) : text;
}

// Contractions without a release time because there was nothing left to let go of at the cue.
std::size_t let_go_before(const SessionScore& score) {
    const auto place = measure_index("release_s");
    return static_cast<std::size_t>(std::count_if(score.cycles.begin(), score.cycles.end(), [&](const ScoredCycle& scored) {
        return scored.cycle.status == CycleStatus::done && scored.values[*place].reason == kLetGoBefore;
    }));
}

Answer measured(const SessionScore& score, Language language) {
    Answer answer{.question = say<Say::changed>(language)};
    for (const std::string_view key : kReferrerMeasures) {
        const auto place = measure_index(key);
        if (place && *place < score.measures.size() && score.measures[*place].mean)
            answer.details.push_back({mean_text(score, *place, language)});
    }
    const auto any_done = [&](bool of_kind) {
        return std::any_of(score.cycles.begin(), score.cycles.end(), [&](const ScoredCycle& scored) {
            return scored.cycle.status == CycleStatus::done && (scored.cycle.kind == score.summary_kind) == of_kind;
        });
    };
    answer.text = !answer.details.empty()              ? say<Say::single_session>(language)
                  : any_done(false) && !any_done(true) ? say<Say::none_of_kind>(language, kind_words(score.summary_kind, language))
                                                       : say<Say::nothing_measured>(language);
    if (const std::size_t before = let_go_before(score); before > 0)
        answer.details.push_back({say<Say::let_go_before>(language, before, score.done)});
    if (const auto faded_pct = clear_fade_pct(score))
        answer.details.push_back({say<Say::faded_within>(language, fixed_text(-*faded_pct, 0))});
    if (const auto fall = activity_fall(score))
        answer.details.push_back({say<Say::fell_over>(language, fixed_text(fall->percent(), 0))});
    return answer;
}

std::string when(const SessionScore& score, Language language) {
    if (!score.recording.start) return {};
    return day_words(std::chrono::floor<std::chrono::days>(score.recording.start->local), language);
}

}  // namespace

Report compose_referrer_report(const SessionScore& score, Language language) {
    Report report;
    report.language = to_string(language);
    report.title = referrer_title(score.recording.person, when(score, language), language);
    Answers answers{{recorded(score, language)}};
    if (score.quality.usable) {
        answers.items.push_back(performed(score, language));
        answers.items.push_back(measured(score, language));
    }
    report.sections = {review_section(language), {"", {std::move(answers)}}, referrer_limits(language)};
    return report;
}

}  // namespace tracehold
