#include "report/patient_tally.hpp"

#include <algorithm>
#include <optional>

#include "tracehold/measures/measure_list.hpp"

namespace tracehold {
namespace {

// A hold that ends this long before the cue still counts as kept. Our choice: about the time in which a cue is
// foreseen; smaller, and the error of an offset would decide.
constexpr double kForeseen_s = 0.5;

bool cues_are_known(const SessionScore& score) {
    return score.cues == CueSource::marks || score.cues == CueSource::start;
}

const Estimate* value_of(const ScoredCycle& scored, std::string_view key) {
    const auto place = measure_index(key);
    return place && *place < scored.values.size() ? &scored.values[*place] : nullptr;
}

void add_kept(Share& kept, const Cycle& cycle) {
    if (!cycle.offset) return;
    ++kept.of;
    kept.count += cycle.offset->time_s >= cycle.work.end_s - kForeseen_s ? 1 : 0;
}

void add_rested(Share& rested, const ScoredCycle& scored) {
    const Estimate* release = value_of(scored, "release_s");
    if (release == nullptr || (!*release && release->reason != "not released in the rest")) return;
    ++rested.of;
    rested.count += *release ? 1 : 0;
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

}  // namespace

PatientTally tally(const SessionScore& score) {
    PatientTally found;
    const std::size_t recorded = score.done + score.missed + score.unusable;
    found.done = {score.done, score.done + score.missed};
    found.unread = score.unusable;
    found.cut = score.planned > recorded ? score.planned - recorded : 0;
    for (const ScoredCycle& scored : score.cycles) {
        if (scored.cycle.status != CycleStatus::done) continue;
        const bool is_long = scored.cycle.kind == StepKind::hold;
        found.long_ones += is_long ? 1 : 0;
        if (cues_are_known(score)) {
            if (is_long) add_kept(found.kept, scored.cycle);
            add_rested(found.rested, scored);
        }
        if (has_fixed_line(score)) add_reached(found.reached, scored);
    }
    return found;
}

bool in_doubt(const SessionScore& score) {
    const auto& findings = score.quality.findings;
    return std::any_of(findings.begin(), findings.end(),
                       [](const Finding& finding) { return finding.severity != Severity::note; });
}

bool may_be_glad(const SessionScore& score) {
    return score.quality.usable && !in_doubt(score) && cues_are_known(score) && score.done > 0 &&
           2 * score.done >= score.planned;
}

}  // namespace tracehold
