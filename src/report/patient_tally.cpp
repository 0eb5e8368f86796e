#include "report/patient_tally.hpp"

#include <algorithm>
#include <cmath>

#include "report/doubts.hpp"
#include "report/session_sections.hpp"
#include "report/verdict.hpp"
#include "tracehold/measures/absent_contractions.hpp"
#include "tracehold/measures/cycle_view.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold {
namespace {

// Where it is not certain that a hold was let go before its cue, one that ends this long before still counts as kept. Our choice:
// about the time in which a cue is foreseen; smaller, and the error of an offset would decide.
constexpr double kForeseen_s = 0.5;
constexpr double kFaded_pct = -50.0;  // our choice, as for endurance

const Estimate* value_of(const ScoredCycle& scored, std::string_view key) {
    const auto place = measure_index(key);
    return place && *place < scored.values.size() ? &scored.values[*place] : nullptr;
}

// Our choices. Rest is reached where letting go took no more than half of the rest, and what follows reads clearly less
// than the work: 3.5 dB, as for the whole session (measures/contrast.cpp).
constexpr double kLatestRelease = 0.5;
constexpr double kClearlyMore = 1.5;

void add_kept(HeldOfLength& group, const ScoredCycle& scored) {
    const Cycle& cycle = scored.cycle;
    if (!cycle.offset) return;
    ++group.kept.of;
    const Estimate* release = value_of(scored, "release_s");
    const bool before = release != nullptr && release->reason == kLetGoBefore;
    if (before || cycle.offset->time_s < cycle.work.end_s - kForeseen_s) return;
    ++group.kept.count;
    const Estimate* fade = value_of(scored, "fade_pct");
    group.faded += fade != nullptr && fade->value.value_or(0.0) < kFaded_pct ? 1 : 0;
}

HeldOfLength& of_length(std::vector<HeldOfLength>& held, double seconds) {
    const double rounded = std::round(10.0 * seconds) / 10.0;  // marks jitter
    const auto found = std::find_if(held.begin(), held.end(), [&](const HeldOfLength& one) { return one.seconds == rounded; });
    return found != held.end() ? *found : held.emplace_back(HeldOfLength{rounded, 0, {}, 0});
}

// What the beginning of the recording cut was asked to last longer than its window here.
bool was_cut(const ScoredCycle& scored) {
    const Estimate* time_to_hold = value_of(scored, "time_to_hold_s");
    return time_to_hold != nullptr && time_to_hold->reason == kBegunBefore;
}

void add_held(std::vector<HeldOfLength>& held, const ScoredCycle& scored) {
    if (was_cut(scored)) return;
    HeldOfLength& group = of_length(held, scored.cycle.work.length_s());
    ++group.done;
    add_kept(group, scored);
}

void add_endured(std::vector<Endured>& endured, const ScoredCycle& scored) {
    const Estimate *lasted = value_of(scored, "endurance_s"), *censored = value_of(scored, "endurance_censored");
    if (lasted == nullptr || !*lasted) return;
    const double planned_s = scored.cycle.work.length_s();
    const bool not_ended = censored != nullptr && censored->value.value_or(0.0) != 0.0;
    endured.push_back({planned_s, *lasted->value, not_ended && std::round(*lasted->value) >= std::round(planned_s)});
}

bool came_to_rest(const ScoredCycle& scored) {
    const Estimate *release = value_of(scored, "release_s"), *work = value_of(scored, "hold_mean_uv"),
                   *rest = value_of(scored, "rest_mean_uv");
    if (work != nullptr && !*work) work = value_of(scored, "work_mean_uv");
    if (release == nullptr || !*work || !*rest) return false;
    const bool in_time = *release ? *release->value <= kLatestRelease * scored.cycle.rest.length_s() : release->reason == kLetGoBefore;
    return in_time && *work->value >= kClearlyMore * *rest->value;
}

void add_released(PatientTally& found, const ScoredCycle& scored) {
    const Estimate* release = value_of(scored, "release_s");
    if (release == nullptr) return;
    const bool before = release->reason == kLetGoBefore;
    if (!*release && !before && release->reason != kNotReleased) return;
    found.released.of += before ? 0 : 1;
    found.released.count += *release ? 1 : 0;
    ++found.rested.of;
    found.rested.count += came_to_rest(scored) ? 1 : 0;
}

void add_reached(Share& reached, const ScoredCycle& scored) {
    const Estimate* value = value_of(scored, "reached_threshold");
    if (value == nullptr || !*value) return;
    ++reached.of;
    reached.count += *value->value != 0.0 ? 1 : 0;
}

// A line made of this session's own best is always reached and was never shown to anybody.
bool has_fixed_line(const SessionScore& score) {
    return score.plan && score.plan->threshold &&
           (score.plan->threshold->microvolts || score.plan->threshold->reference_uv);
}

std::vector<KindDone> done_by_kind(const SessionScore& score) {
    std::vector<KindDone> kinds;
    for (const StepKind kind : {StepKind::hold, StepKind::rapid, StepKind::endurance}) {
        Share done;
        for (const StepScore& step : score.steps) {
            if (step.kind == kind) done.count += step.done, done.of += step.done + step.missed;
        }
        if (done.of > 0) kinds.push_back({kind, done});
    }
    return kinds;
}

}  // namespace

PatientTally tally(const SessionScore& score) {
    PatientTally found;
    found.done = {score.done, score.done + score.missed};
    found.kinds = done_by_kind(score);
    found.unread = score.unusable;
    found.cut = unrecorded(score);
    found.busy = busy_before(score);
    for (const ScoredCycle& scored : score.cycles) {
        if (scored.cycle.status != CycleStatus::done) continue;
        if (cues_are_known(score)) {
            if (scored.cycle.kind == StepKind::hold) add_held(found.held, scored);
            if (scored.cycle.kind == StepKind::endurance) add_endured(found.endured, scored);
            add_released(found, scored);
        }
        if (has_fixed_line(score)) add_reached(found.reached, scored);
    }
    return found;
}

bool rest_may_be_told(const SessionScore& score) {
    if (rest_reads_low(score)) return false;
    return std::all_of(score.targets.begin(), score.targets.end(), [&](const TargetOutcome& outcome) {
        const bool of_rest = outcome.target.measure == "rest_mean_uv" || outcome.target.measure == "release_s";
        return !of_rest || verdict_on(score, outcome) == Verdict::met;
    });
}

bool cues_are_known(const SessionScore& score) {
    return (score.cues == CueSource::marks || score.cues == CueSource::start) && !cues_may_be_off(score);
}

bool in_doubt(const SessionScore& score) {
    const auto& findings = score.quality.findings;
    return std::any_of(findings.begin(), findings.end(), [](const Finding& finding) {
        return finding.severity != Severity::note && finding.code != "cues_estimated";
    });
}

bool may_be_glad(const SessionScore& score) {
    const std::vector<KindDone> kinds = done_by_kind(score);
    const bool little = std::any_of(kinds.begin(), kinds.end(), [](const KindDone& kind) { return 2 * kind.done.count < kind.done.of; });
    return score.quality.usable && !in_doubt(score) && cues_are_known(score) && score.done > 0 && !little &&
           2 * score.done >= score.planned;
}

}  // namespace tracehold
