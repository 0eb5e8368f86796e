// The first screen: who and when, then the three questions of a clinician with a minute.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "report/doubts.hpp"
#include "report/patient_tally.hpp"
#include "report/session_sections.hpp"
#include "report/en/session.hpp"
#include "report/verdict.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/absent_contractions.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/report/did_it_happen.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

// More than this and the answer leaves the first screen; our choice.
constexpr std::size_t kFindingsInBrief = 3;
constexpr std::size_t kLongestPlanName = 120;

// The name and the contractions; rests stand in the table of steps.
std::string plan_text(const SessionScore& score) {
    if (!score.plan) return std::string(score.cues == CueSource::trace ? words::kNoPlan : words::kNoPlanCued);
    std::string steps;
    for (const Step& step : score.plan->steps) {
        if (step.kind == StepKind::rest) continue;
        steps += fmt::format("{}{} × {} {} s", steps.empty() ? "" : ", ", step.times, to_string(step.kind),
                             number_text(step.seconds));
    }
    return score.plan->name.empty() ? steps : shown(score.plan->name, kLongestPlanName) + ": " + steps;
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

std::string missed_text(const SessionScore& score) {
    if (score.missed == 0) return {};
    if (const std::size_t busy = busy_before(score); busy > 0) return fmt::format(words::kMissedBusy, score.missed, busy);
    if (unseen_may_be_done(score)) return fmt::format(words::kMissedUntold, score.missed);
    return fmt::format(words::kMissed, score.missed);
}

std::size_t begun(const SessionScore& score, Begins how) {
    return static_cast<std::size_t>(std::count_if(score.cycles.begin(), score.cycles.end(), [&](const ScoredCycle& s) { return s.cycle.begins == how; }));
}

}  // namespace

Answer did_it_happen(const SessionScore& score) {
    Answer answer{words::kDidItHappen, {}, Tone::plain, {}};
    if (!score.quality.usable) {
        answer.text = words::kCannotBeTold;
        return answer;
    }
    if (score.cues == CueSource::trace) {
        const std::size_t found = score.done + score.extra;
        answer.text = fmt::format(words::kFoundInTrace, found == 0 ? words::kNoContraction : counted(found, "contraction"));
        return answer;
    }
    answer.text = score.plan ? fmt::format(words::kPlannedDone, score.done, score.planned, by_kind(score))
                             : fmt::format(words::kCuedDone, score.done, score.planned);
    if (const std::size_t lacking = unrecorded(score); lacking > 0) answer.text += ' ' + fmt::format(words::kNotRecorded, lacking);
    if (const std::size_t by_hand = left_out_by_hand(score); by_hand > 0) answer.text += ' ' + fmt::format(words::kLeftOut, by_hand);
    if (const std::string missed = missed_text(score); !missed.empty()) answer.text += ' ' + missed;
    if (score.unusable > 0) answer.text += ' ' + fmt::format(words::kUnusable, score.unusable);
    if (score.extra > 0)
        answer.text += ' ' + fmt::format(fmt::runtime(extra_may_be_marked(score) ? words::kExtraMarked : words::kExtra), score.extra);
    const std::size_t early = begun(score, Begins::early), late = begun(score, Begins::late);
    if (early > 0) answer.text += ' ' + fmt::format(words::kBegun, early, words::kEarlier);
    if (late > 0) answer.text += ' ' + fmt::format(words::kBegun, late, words::kLater);
    if (marks_of_another_plan(score)) answer.details.push_back({words::kOtherMarks, Tone::caution});
    if (cues_may_be_off(score)) answer.details.push_back({words::kAtTheirCues, Tone::caution});
    answer.terms.push_back({"done", 0, "done"});
    if (score.missed > 0) answer.terms.push_back({"missed", 0, "missed"});
    if (score.unusable > 0) answer.terms.push_back({"unusable", 0, "unusable"});
    if (score.extra > 0) answer.terms.push_back({"extra", 0, "extra"});
    if (early > 0) answer.terms.push_back({std::string(words::kEarlier), 0, "begins"});
    if (late > 0) answer.terms.push_back({std::string(words::kLater), 0, "begins"});
    return answer;
}

namespace {

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
    add(with(Severity::caution), "caution");
    add(with(Severity::note), "note");
    add(score.corrections.size(), "correction", words::kByHand);
    return text;
}

Answer can_it_be_trusted(const SessionScore& score) {
    Answer answer{words::kTrusted, {}, Tone::plain, {}};
    const auto findings = grave_findings(score.quality);
    for (std::size_t i = 0; i < std::min(findings.size(), kFindingsInBrief); ++i) {
        answer.details.push_back({finding_text(*findings[i]), tone_of(findings[i]->severity)});
    }
    const bool quiet = answer.details.empty();
    answer.tone = !score.quality.usable ? Tone::reject : quiet ? Tone::plain : Tone::caution;
    answer.text = !score.quality.usable ? words::kTrustNo : quiet ? words::kTrustQuiet : words::kTrustCare;
    const std::string counts = what_counts(score);
    if (!counts.empty()) answer.text += " " + fmt::format(words::kCounts, counts);
    if (score.quality.masked_s > 0.0) {
        answer.text += " " + fmt::format(words::kSomeMasked, masked_text(score));
        answer.terms.push_back({"masked", 0, "masked_s"});
    }
    return answer;
}

bool was_measured(std::span<const Summary> measures) {
    return std::any_of(measures.begin(), measures.end(), [](const Summary& summary) { return summary.n > 0; });
}

// What the brief table tells: the summaries of the session; where nothing of that kind was done, those of the first step
// of the plan of which something was.
struct Told {
    StepKind kind;
    std::span<const Summary> measures;
    std::size_t done = 0, corrected = 0;  // corrected by hand, of those done
};

Told told_of(const SessionScore& score) {
    const auto told = [&](StepKind kind, std::optional<int> step, std::span<const Summary> measures) {
        Told of{kind, measures};
        for (const ScoredCycle& scored : score.cycles) {
            const Cycle& cycle = scored.cycle;
            if (cycle.kind != kind || cycle.status != CycleStatus::done || (step && cycle.step != step)) continue;
            ++of.done;
            of.corrected += !cycle.corrected.empty();
        }
        return of;
    };
    if (!was_measured(score.measures)) {
        for (const StepScore& step : score.steps) {
            if (was_measured(step.measures)) return told(step.kind, step.step, step.measures);
        }
    }
    return told(score.summary_kind, {}, score.measures);
}

Answer what_did_it_do(const SessionScore& score) {
    Answer answer{words::kMuscle, words::kNothingMeasured, Tone::plain, {}};
    const Told told = told_of(score);
    if (!was_measured(told.measures)) {
        const auto first = measure_index("work_mean_uv");
        const std::string why = score.done > 0 ? reasons_text(score, score.summary_kind, *first) : "";
        if (!why.empty()) answer.text = fmt::format(words::kNothingGiven, why);
        return answer;
    }
    const std::string over = told.done == 1 ? fmt::format(words::kOfTheOne, kind_noun(told.kind))
                                            : fmt::format(words::kMeansOver, counted_kind(told.done, told.kind));
    answer.text = told.kind == score.summary_kind ? over : fmt::format(words::kNoneOfKind, kind_noun(score.summary_kind), over);
    if (score.reference_uv && score.reference_cycle) {
        answer.text += ' ';
        answer.text += fmt::format(words::kBestSecond, quantity_text(score.reference_uv, "µV"), *score.reference_cycle);
        answer.terms.push_back({words::kBestSecondName, 0, "reference_uv"});
    }
    if (score.threshold_uv) {
        answer.text += ' ' + fmt::format(words::kThreshold, quantity_text(score.threshold_uv, "µV"));
        answer.terms.push_back({"threshold", 0, "threshold_uv"});
    }
    if (score.envelope_method == EnvelopeMethod::as_exported)
        answer.details.push_back({words::kAsExported});
    return answer;
}

// "below 4"; the row names the unit.
std::string target_text(const Target& target) {
    return target.below ? "below " + number_text(*target.below) : "above " + number_text(target.above.value_or(0.0));
}

// Where the mean stands to the target: "below it", "above it, not clearly"; a dash with its reason where it cannot be told.
Cell stands_cell(const TargetOutcome& outcome, Verdict verdict, ReasonNotes& reasons) {
    if (verdict == Verdict::no_value) return {"–"};
    if (verdict == Verdict::too_few) return reasons.dash(words::kOneContraction);
    if (verdict == Verdict::subtracted) return reasons.dash(words::kSubtracted);
    if (verdict == Verdict::doubtful) return reasons.about(words::kInDoubt, words::kRestInDoubt);
    const double limit = outcome.target.below.value_or(outcome.target.above.value_or(0.0)), value = *outcome.value.value;
    const std::string_view side = value < limit ? words::kBelowIt : value > limit ? words::kAboveIt : words::kAtIt;
    return {std::string(side) + (verdict == Verdict::unclear ? words::kNotClearlyAfter : "")};
}

// One session shows no change.
Answer what_changed() { return {words::kChanged, words::kNoChange, Tone::plain, {}}; }

// Where less than half of what was asked for was seen, the electrode and the task come before any figure. Our choice: less is
// little. Letting go comes first wherever most of what was missed may be a release that lasted. "" = nothing to ask.
std::string ask_unseen(const SessionScore& score) {
    if (score.done + score.extra == 0 && score.missed == 0) return words::kAskNoneFound;
    const std::size_t seen_or_not = score.done + score.missed;
    const bool mostly_late = 2 * busy_before(score) > score.missed;
    if (score.cues == CueSource::trace || (2 * score.done >= seen_or_not && !mostly_late)) return {};
    return fmt::format(fmt::runtime(mostly_late ? words::kAskLate : words::kAskUnseen), score.done, seen_or_not);
}

void ask_of_holds(Answer& answer, const SessionScore& score) {
    const LetGoEarly holds = holds_let_go_early(score);
    if (holds.mostly()) answer.details.push_back({fmt::format(words::kAskEarly, holds.early, counted_kind(holds.of, score.summary_kind))});
    if (const auto faded_pct = clear_fade_pct(score))
        answer.details.push_back({fmt::format(words::kAskFading, fixed_text(-*faded_pct, 0))});
    if (const auto fall = activity_fall(score))
        answer.details.push_back({fmt::format(words::kAskFall, fixed_text(fall->from_uv, 1), fixed_text(fall->to_uv, 1))});
}

// What may make the counts tell of something else than this muscle at these cues.
void ask_of_counts(Answer& answer, const SessionScore& score) {
    if (other_muscle_in_doubt(score)) answer.details.push_back({words::kAskMuscle});
    if (may_have_stopped(score) && score.planned > 0) {
        answer.details.push_back({fmt::format(words::kAskStopped, score.planned - unrecorded(score), score.planned)});
    }
    if (has_finding(score.quality, "cues_out_of_step") && !has_finding(score.quality, "marks_exchanged"))
        answer.details.push_back({words::kAskStep});
    constexpr std::size_t kSeveral = 3;  // our choice: a cough or two is no habit
    if (extra_seen(score) >= kSeveral && cues_are_known(score) && !extra_may_be_marked(score))
        answer.details.push_back({fmt::format(words::kAskExtra, extra_seen(score))});
}

// Rest above its target is asked about too where it is in doubt what it comes from.
void ask_of_targets(Answer& answer, const SessionScore& score) {
    for (const TargetOutcome& outcome : score.targets) {
        const auto place = measure_index(outcome.target.measure);
        const Verdict verdict = place ? verdict_on(score, outcome) : Verdict::no_value;
        const Measure& measure = measure_list()[place.value_or(0)];
        if (verdict == Verdict::missed)
            answer.details.push_back({fmt::format(words::kAskTarget, measure.title, target_text(outcome.target), measure.unit)});
        else if (verdict == Verdict::doubtful && *outcome.value.value > outcome.target.below.value_or(*outcome.value.value))
            answer.details.push_back({fmt::format(words::kAskRest, target_text(outcome.target), measure.unit)});
    }
}

// What was not seen, how the holds ended and the targets that the means clearly miss, as something to ask about; the rules that
// weigh sessions are those of a course.
Answer what_to_ask(const SessionScore& score) {
    Answer answer{words::kAsk, words::kAskNothing, Tone::plain, {}};
    if (!score.quality.usable) {
        answer.text = words::kAskContact;
        return answer;
    }
    const bool exchanged = has_finding(score.quality, "marks_exchanged"), other_plan = marks_of_another_plan(score);
    if (exchanged) answer.details.push_back({words::kAskExchanged});
    if (other_plan) answer.details.push_back({words::kAskPlan});
    const std::string unseen = exchanged || other_plan ? "" : ask_unseen(score);
    const bool most_seen = score.done > 0 && score.done >= score.missed;
    if (!unseen.empty()) answer.details.push_back({unseen});
    if (electrode_in_doubt(score) && (unseen.empty() || most_seen)) answer.details.push_back({words::kAskElectrode});
    if (has_finding(score.quality, "reference_differs")) answer.details.push_back({words::kAskReference});
    ask_of_counts(answer, score);
    ask_of_holds(answer, score);
    ask_of_targets(answer, score);
    if (!answer.details.empty()) answer.text = words::kAskCourse;
    return answer;
}

// Values that are all equal say nothing of how far their mean may be off.
Cell interval_cell(const Summary& summary, std::size_t measure, ReasonNotes& reasons) {
    if (!summary.ci95_low || !summary.ci95_high) return {"–"};
    if (*summary.ci95_low == *summary.ci95_high) return reasons.dash(words::kAllEqual);
    return {interval_text(summary, measure, " to ")};
}

// Endurance that may have lasted on after the cue to relax.
bool any_not_ended(const SessionScore& score) {
    const std::size_t censored = *measure_index("endurance_censored");
    return std::any_of(score.cycles.begin(), score.cycles.end(), [&](const ScoredCycle& scored) {
        return scored.cycle.status == CycleStatus::done && scored.values[censored].value.value_or(0.0) != 0.0;
    });
}

std::vector<Cell> brief_row(const SessionScore& score, const Told& told, std::size_t measure, ReasonNotes& reasons) {
    const Summary& summary = told.measures[measure];
    Cell mean = summary.mean ? mean_cell(summary, measure) : reasons.dash(reasons_text(score, told.kind, measure));
    if (summary.mean && measure == *measure_index("endurance_s") && any_not_ended(score)) mean.note = reasons.about("", words::kLowerLimit).note;
    return {{row_title(measure), 0, std::string(measure_list()[measure].key)}, mean};
}

// Where some of the contractions have no value the number tells why; where none has, its dash did.
Cell count_cell(const SessionScore& score, const Told& told, std::size_t measure, ReasonNotes& reasons) {
    const std::size_t n = told.measures[measure].n;
    return reasons.about(std::to_string(n), n > 0 && n < told.done ? reasons_text(score, told.kind, measure) : "");
}

void add_spread(ReportTable& table, const SessionScore& score, const Told& told, const std::vector<std::size_t>& measures,
                ReasonNotes& reasons) {
    for (const Column& column : {Column{"SD", true, "sd"}, Column{"95 % interval", true, "ci95"}, Column{"n", true}})
        table.columns.push_back(column);
    for (std::size_t row = 0; row < measures.size(); ++row) {
        const Summary& summary = told.measures[measures[row]];
        for (const Cell& cell : {sd_cell(summary, measures[row]), interval_cell(summary, measures[row], reasons),
                                 count_cell(score, told, measures[row], reasons)})
            table.rows[row].push_back(cell);
    }
}

// At most two targets for a measure, below and above: what they say shares a cell, with the reason of the first.
void add_targets(ReportTable& table, const SessionScore& score, const std::vector<std::size_t>& measures,
                 ReasonNotes& reasons) {
    table.columns.push_back({words::kTargetSet});
    table.columns.push_back({words::kMeanIs});
    bool unclear = false;
    for (std::size_t row = 0; row < measures.size(); ++row) {
        std::string target;
        Cell stands{""};
        for (const TargetOutcome& outcome : score.targets) {
            if (measure_index(outcome.target.measure) != measures[row]) continue;
            const Verdict verdict = verdict_on(score, outcome);
            const Cell each = stands_cell(outcome, verdict, reasons);
            target += (target.empty() ? "" : "; ") + target_text(outcome.target);
            stands = stands.text.empty() ? each : Cell{stands.text + "; " + each.text, stands.note};
            unclear = unclear || verdict == Verdict::unclear;
        }
        table.rows[row].push_back({target});
        table.rows[row].push_back(std::move(stands));
    }
    if (unclear) table.caption = words::kNotClearly;
}

// The target and where the mean stands to it come before the spread: a narrow screen shows the first columns.
ReportTable brief_table(const SessionScore& score, const Told& told) {
    ReportTable table;
    table.columns = {{words::kMeasureColumn}, {words::kMean, true}};
    const auto measures = brief_measures(score);
    ReasonNotes reasons(table.notes);
    for (const std::size_t measure : measures) table.rows.push_back(brief_row(score, told, measure, reasons));
    if (!score.targets.empty() && told.kind == score.summary_kind) add_targets(table, score, measures, reasons);
    add_spread(table, score, told, measures, reasons);
    if (told.corrected > 0) {
        if (!table.caption.empty()) table.caption += ' ';
        table.caption += told.done == 1 ? words::kCorrectedOne : fmt::format(words::kCorrectedAmong, told.corrected);
    }
    return table;
}

}  // namespace

Section head_section(const SessionScore& score) {
    const RecordingFacts& recording = score.recording;
    const std::string session =
        fmt::format("{}, {}; channel {}, {}, {} Hz", or_else(recording.posture, words::kPostureNotStated),
                    duration_text(Seconds{recording.duration_s}), or_else(recording.channel, "1"),
                    to_string(recording.kind), number_text(recording.rate_hz));
    return {"", {Facts{{{words::kSession, session}, {words::kFile, recording.source}, {words::kPlanRow, plan_text(score)}}}}};
}

Section brief_section(const SessionScore& score) {
    Section section{"", {Answers{{did_it_happen(score), can_it_be_trusted(score), what_did_it_do(score)}}}};
    if (const Told told = told_of(score); was_measured(told.measures)) section.blocks.push_back(brief_table(score, told));
    section.blocks.push_back(Answers{{what_changed(), what_to_ask(score)}});
    return section;
}

}  // namespace tracehold
