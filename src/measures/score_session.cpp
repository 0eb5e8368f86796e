// Order: views of the cycles; the best second of the session, since a threshold may be a percent of it; all measures;
// summaries.
#include "tracehold/measures/score_session.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <string>
#include <vector>

#include "measures/contrast.hpp"
#include "measures/crosstalk.hpp"
#include "measures/cue_fit.hpp"
#include "measures/late_release.hpp"
#include "measures/level_doubts.hpp"
#include "measures/reference.hpp"
#include "measures/rest_steps.hpp"
#include "measures/session_summary.hpp"
#include "tracehold/core/side_by_side.hpp"
#include "tracehold/measures/absent_contractions.hpp"
#include "tracehold/measures/cycle_view.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/measures/possible_range.hpp"

namespace tracehold {
namespace {

SessionScore facts_of(const ScoreInput& input) {
    SessionScore score;
    score.recording = input.recording;
    score.settings = input.settings;
    if (input.plan != nullptr) score.plan = *input.plan;
    score.cues = input.cycles.from;
    score.cue_offset_s = input.cycles.offset_s;
    score.cue_confidence = input.cycles.confidence;
    score.quality = input.clean.quality;
    score.noise_floor_uv = input.envelope.noise_floor_uv;
    score.envelope_method = input.envelope.method;
    score.envelope_window_s = input.envelope.window.value;
    score.low_hz = input.clean.low_hz;
    score.high_hz = input.clean.high_hz;
    score.corrections.assign(input.corrections.begin(), input.corrections.end());
    add_doubts(input.cycles.notes, score.quality);
    const auto plain = [](const Note& note) { return !note.doubt; };
    std::copy_if(input.notes.begin(), input.notes.end(), std::back_inserter(score.notes), plain);
    std::copy_if(input.cycles.notes.begin(), input.cycles.notes.end(), std::back_inserter(score.notes), plain);
    return score;
}

void count_cycles(SessionScore& score) {
    for (const ScoredCycle& scored : score.cycles) {
        switch (scored.cycle.status) {
            case CycleStatus::done: ++score.done; break;
            case CycleStatus::missed: ++score.missed; break;
            case CycleStatus::extra: ++score.extra; break;
            case CycleStatus::unusable: ++score.unusable; break;
        }
    }
    const std::size_t cued = score.done + score.missed + score.unusable;
    score.planned = score.cues == CueSource::trace ? 0 : cued;
    if (score.plan && score.cues != CueSource::trace) {
        score.planned = 0;
        for (const Step& step : score.plan->steps)
            score.planned += step.kind == StepKind::rest ? 0 : static_cast<std::size_t>(step.times);
        if (cued != score.planned) {
            score.notes.push_back(
                {"contractions_not_recorded", "",
                 fmt::format("the plan asks for {} contractions, {} of them have a place in the recording",
                             score.planned, cued)});
        }
    }
    if (score.cycles.empty()) {
        score.notes.push_back({"no_contractions", "",
                               dropped_by_hand(score) > 0 ? "every contraction was dropped by a correction"
                                                  : "no contraction was found in the recording"});
    }
}

void add_finding(Quality& quality, const Finding& finding) {
    quality.findings.push_back(finding);
    if (finding.severity == Severity::reject) quality.usable = false;
}

// What the user asked for, or the recording lacks, that bends the numbers.
void add_findings_of_making(SessionScore& score) {
    if (noise_subtracted(score)) {
        add_finding(score.quality, {"noise_subtracted", Severity::caution,
                                    fmt::format("the quietest level of the recording, {:.1f} µV, was subtracted as asked for; where the muscle never "
                                                "rests that is muscle, so resting activity may be higher than it reads",
                                                score.noise_floor_uv),
                                    {}});
    }
    if (baseline_subtracted(score)) {
        add_finding(score.quality, {"baseline_subtracted", Severity::caution,
                                    "the running baseline of 30 s was subtracted as asked for: activity that never goes away is missing from every "
                                    "amplitude, so resting activity may be higher than it reads",
                                    {}});
    } else if (score.settings.envelope.subtract_baseline) {
        score.notes.push_back({"baseline_not_subtracted", "", "a baseline is subtracted only of an amplitude that the recorder exported: of this raw signal "
                                                              "nothing was"});
    }
    const std::size_t lacking = not_counted(score), by_hand = left_out_by_hand(score);
    if (score.plan && lacking > 0) {
        std::string why = by_hand > 0 ? fmt::format("{} dropped by corrections", by_hand) : "";
        if (lacking > by_hand) why += fmt::format("{}it starts late, ends early, or cue marks are missing", by_hand > 0 ? "; beside those " : "");
        add_finding(score.quality, {"plan_not_whole", Severity::caution,
                                    fmt::format("{} of {} planned contractions {} no place in the recording: {}", lacking, score.planned,
                                                lacking == 1 ? "has" : "have", why), {}});
    }
}

std::string why_rejected(const Quality& quality) {
    const auto rejecting = [](const Finding& finding) { return finding.severity == Severity::reject; };
    const auto whole = std::find_if(quality.findings.begin(), quality.findings.end(),
                                    [&](const Finding& f) { return rejecting(f) && f.spans.empty(); });
    const auto any = std::find_if(quality.findings.begin(), quality.findings.end(), rejecting);
    const auto found = whole != quality.findings.end() ? whole : any;
    return "the signal was rejected: " + (found != quality.findings.end() ? found->code : std::string("quality"));
}

// On a signal that cannot be believed nobody can say that a contraction was missed, done or extra.
void reject_all(SessionScore& score, std::span<const CycleView> views) {
    const std::string why = why_rejected(score.quality);
    const Estimate none = Estimate::none(why);
    for (const CycleView& view : views) {
        if (view.cycle.status == CycleStatus::extra) continue;
        Cycle cycle = view.cycle;
        cycle.status = CycleStatus::unusable;
        cycle.onset.reset();
        cycle.offset.reset();
        cycle.begins.reset();
        cycle.rise_20_s.reset();
        cycle.fall_20_s.reset();
        cycle.onset_reason = cycle.offset_reason = why;
        score.cycles.push_back({std::move(cycle), std::vector<Estimate>(measure_list().size(), none)});
    }
    score.reference_uv = none;
    score.threshold_uv = none;
    score.noise_floor_uv = std::nan("");
}

std::string why_no_rests(const SessionScore& score, std::span<const CycleView> views) {
    if (!score.quality.usable) return why_rejected(score.quality);
    const bool in_step = std::all_of(views.begin(), views.end(), [](const CycleView& view) { return view.cues_in_step; });
    return in_step ? "" : kOutOfStep;
}

// A gap is short for the recording and yet much of a contraction; at its start and end it hides a time. Movement does so now and
// then: with most contractions it belongs to how they were done.
void doubt_gaps(Quality& quality, std::span<const CycleView> views) {
    constexpr double kBeside_s = 1.0, kLeast_s = 0.1;  // a rapid contraction rises in so long; our choices
    for (Finding& finding : quality.findings) {
        const bool moved = finding.code == "motion";
        if ((finding.code != "missing" && !moved) || finding.severity != Severity::note) continue;
        const auto meets = [&](const CycleView& view) {
            const auto hides = [&](TimeSpan gap) {
                return gap.length_s() >= kLeast_s && gap.end_s > view.work.begin_s && gap.begin_s < view.work.end_s + kBeside_s;
            };
            return std::any_of(finding.spans.begin(), finding.spans.end(), hides);
        };
        const auto met = std::count_if(views.begin(), views.end(), meets);
        if (met == 0 || (moved && 2 * static_cast<std::size_t>(met) <= views.size())) continue;
        finding.severity = Severity::caution;
        finding.text += fmt::format("; that touches {} of {} contractions", met, views.size());
    }
}

// Where so many were found, others beneath them were not, and those read as muscle.
void doubt_spikes(Quality& quality, std::span<const CycleView> views) {
    constexpr double kMany_per_s = 1.0;  // our choice
    double work_s = 0.0;
    for (const CycleView& view : views) work_s += view.work.length_s();
    for (Finding& finding : quality.findings) {
        if (finding.code != "spikes" || finding.severity != Severity::note) continue;
        const auto in_work = std::count_if(finding.spans.begin(), finding.spans.end(), [&](TimeSpan spike) {
            return std::any_of(views.begin(), views.end(), [&](const CycleView& view) {
                return spike.begin_s >= view.work.begin_s && spike.begin_s < view.work.end_s;
            });
        });
        if (in_work == 0 || static_cast<double>(in_work) <= kMany_per_s * work_s) continue;
        finding.severity = Severity::caution;
        finding.text += fmt::format("; {} of them lie on contractions, too many for all to be found, so amplitudes may read too high", in_work);
    }
}

// What the cycles say of the signal and the cues. Nothing of a signal that was rejected is read as muscle, and nothing of
// work and rest where the cues do not belong to it.
void add_findings_of_cycles(SessionScore& score, std::vector<CycleView>& views, double recorded_s, const CleanRecording* accessory) {
    if (!score.quality.usable) return;
    const auto cue_fit = cue_fit_finding(views);
    const bool in_step = !cue_fit || score.cues == CueSource::aligned;
    for (CycleView& view : views) view.cues_in_step = in_step;
    const auto late = in_step ? late_release_finding(views, score.noise_floor_uv) : std::nullopt;
    if (late) add_finding(score.quality, *late);
    if (const auto finding = contrast_finding(views, late.has_value())) add_finding(score.quality, *finding);
    const bool all_dropped = views.empty() && dropped_by_hand(score) > 0;  // by hand: nothing is said of the muscle
    if (!score.quality.usable) return;
    const double hum_share = score.quality.mains ? score.quality.mains->share_of_power : 0.0;
    const auto unseen = unseen_finding(views, {hum_share, late.has_value(), score.noise_floor_uv, recorded_s});
    if (unseen && !all_dropped) add_finding(score.quality, *unseen);
    if (!score.quality.usable) return;
    doubt_gaps(score.quality, views);
    doubt_spikes(score.quality, views);
    if (const auto finding = crosstalk_finding(views, accessory)) add_finding(score.quality, *finding);
    const auto early = in_step ? early_starts_finding(views) : std::nullopt;
    if (early) add_finding(score.quality, *early);
    for (const Finding& finding : level_findings(views)) add_finding(score.quality, finding);
    if (cue_fit) add_finding(score.quality, *cue_fit);
}

void measure_all(SessionScore& score, std::vector<CycleView>& views) {
    const Plan* plan = score.plan ? &*score.plan : nullptr;
    const Reference reference = reference_of(views);
    score.reference_uv = reference.best_uv;
    score.reference_cycle = reference.cycle;
    score.threshold_uv = threshold_of(plan, reference.best_uv);
    if (const auto finding = reference_finding(plan, reference.best_uv)) add_finding(score.quality, *finding);
    for (CycleView& view : views) {
        view.threshold_uv = score.threshold_uv.value;
        view.threshold_reason = score.threshold_uv.reason;
        score.cycles.push_back({view.cycle, {}});
        if (!view.cues_in_step) score.cycles.back().cycle.begins.reset();
    }
    each_side_by_side(views.size(), [&](std::size_t i) { score.cycles[i].values = measure_cycle(views[i]); });
}

}  // namespace

SessionScore score_session(const ScoreInput& input) {
    if (input.plan != nullptr) require_possible_targets(*input.plan);
    SessionScore score = facts_of(input);
    const ViewInput view{input.clean, input.envelope, input.cycles, input.plan, input.accessory};
    std::vector<CycleView> views = view_cycles(view);
    add_findings_of_cycles(score, views, time_of(input.clean.uv.size(), input.clean.rate), input.accessory_trace);
    if (score.quality.usable) {
        measure_all(score, views);
    } else {
        reject_all(score, views);
    }
    count_cycles(score);
    add_findings_of_making(score);
    score.summary_kind = summary_kind_of(score.cycles);
    score.measures = summaries_of(score.cycles, {.kind = score.summary_kind, .step = {}});
    score.steps = step_scores_of(score.cycles, input.plan, score.cues);
    score.rests = rest_scores_of(view, why_no_rests(score, views));
    if (score.plan && score.quality.usable)
        score.targets = target_outcomes_of(score);
    return score;
}

}  // namespace tracehold
