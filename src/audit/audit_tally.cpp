#include "tracehold/audit/audit_tally.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "tracehold/measures/cued_windows.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/measures/muscle_seen.hpp"
#include "tracehold/measures/same_numbers.hpp"

namespace tracehold {
namespace {

KeptMeans kept_of(const std::vector<Summary>& measures) {
    KeptMeans means;
    for (std::size_t i = 0; i < kKeptMeasures.size(); ++i) {
        const auto index = measure_index(kKeptMeasures[i]);
        if (index && *index < measures.size()) means[i] = measures[*index].mean;
    }
    return means;
}

std::vector<Summary> summaries_of(const KeptMeans& means) {
    std::vector<Summary> measures(measure_list().size());
    for (std::size_t i = 0; i < kKeptMeasures.size(); ++i) measures[*measure_index(kKeptMeasures[i])].mean = means[i];
    return measures;
}

// The threshold may differ from session to session and touches none of the kept measures.
SessionScore conditions_of(const SessionScore& score) {
    SessionScore shared;
    shared.tool_version = score.tool_version;
    shared.recording.posture = score.recording.posture;
    shared.recording.site = score.recording.site;
    shared.recording.channel = score.recording.channel;
    shared.recording.kind = score.recording.kind;
    shared.settings.envelope = score.settings.envelope;
    shared.envelope_method = score.envelope_method;
    shared.envelope_window_s = score.envelope_window_s;
    shared.low_hz = score.low_hz;
    shared.high_hz = score.high_hz;
    shared.plan = score.plan;
    if (shared.plan) shared.plan->threshold.reset();
    return shared;
}

auto key_of(const SessionScore& score) {
    const RecordingFacts& facts = score.recording;
    const EnvelopeSettings& envelope = score.settings.envelope;
    return std::tuple(std::string_view(score.tool_version), std::string_view(facts.posture), std::string_view(facts.site),
                      std::string_view(facts.channel), facts.kind, score.envelope_method, score.envelope_window_s, score.low_hz, score.high_hz,
                      envelope.subtract_noise_floor, envelope.subtract_baseline);
}

// Few scores share it without being alike; equality decides.
std::string short_text_of(const SessionScore& score) {
    const RecordingFacts& facts = score.recording;
    return fmt::format("{}\n{}\n{}\n{}", facts.site, facts.channel, facts.posture,
                       score.plan ? score.plan->sha256 + score.plan->name : "");
}

bool is_assessment(const SessionScore& score) {
    return score.plan && purpose_of(*score.plan) == PlanPurpose::assessment;
}

}  // namespace

void AuditTally::add(const SessionScore& score, const SessionContext& context) {
    const SessionScore shared = conditions_of(score);
    std::vector<std::size_t>& candidates = known_[short_text_of(shared)];
    const auto same = std::find_if(candidates.begin(), candidates.end(), [&](std::size_t i) {
        return key_of(conditions_[i]) == key_of(shared) && conditions_[i].plan == shared.plan;
    });
    SessionRecord record;
    record.conditions = same == candidates.end() ? conditions_.size() : *same;
    if (same == candidates.end()) {
        candidates.push_back(conditions_.size());
        conditions_.push_back(shared);
    }
    record.source = score.recording.source;
    record.sha256 = score.recording.sha256;
    record.start = score.recording.start;
    record.duration_s = score.recording.duration_s;
    record.usable = muscle_seen(score);
    record.anonymous = score.settings.identity == IdentityLevel::anonymous;
    record.planned = score.planned;
    record.done = score.done;
    record.missed = score.missed;
    record.unusable = score.unusable;
    record.summary_kind = score.summary_kind;
    record.reference_uv = score.reference_uv.value;
    record.means = kept_of(score.measures);
    if (is_assessment(score)) {
        for (const StepScore& step : score.steps)
            record.steps.push_back({step.step, step.kind, kept_of(step.measures)});
        for (const RestScore& rest : score.rests)
            record.steps.push_back({rest.step, StepKind::rest, {std::nullopt, rest.mean_uv.value, std::nullopt}});
    }
    record.other_plan = !follows_its_plan(score);
    if (!score.plan) record.cued = cued_windows(score);
    if (record.usable) record.numbers = mark_of_numbers(score);
    record.group = context.group;
    record.reviewed = context.reviewed;
    people_[score.recording.person].push_back(std::move(record));
}

void AuditTally::add_listed(const std::string& person) {
    if (!person.empty()) listed_.insert(person);
}

std::size_t AuditTally::listed_only() const {
    return static_cast<std::size_t>(
        std::count_if(listed_.begin(), listed_.end(), [&](const std::string& person) { return !people_.contains(person); }));
}

void AuditTally::add_refused(ErrorKind kind) { ++refused_[kind]; }

SessionScore AuditTally::score_of(const SessionRecord& record) const {
    SessionScore score = conditions_[record.conditions];
    score.recording.source = record.source;
    score.recording.sha256 = record.sha256;
    score.recording.start = record.start;
    score.recording.duration_s = record.duration_s;
    score.quality.usable = record.usable;
    if (record.other_plan) score.quality.findings.push_back({.code = std::string(kCuesOffPlan)});
    if (!record.cued.empty()) score.cues = CueSource::marks;
    for (const TimeSpan& work : record.cued) score.cycles.push_back({.cycle = {.work = work}});
    score.planned = record.planned;
    score.done = record.done;
    score.missed = record.missed;
    score.unusable = record.unusable;
    score.summary_kind = record.summary_kind;
    score.reference_uv.value = record.reference_uv;
    score.measures = summaries_of(record.means);
    for (const StepRecord& step : record.steps) {
        if (step.kind == StepKind::rest) {
            score.rests.push_back({.step = step.step.value_or(0), .window = {}, .mean_uv = {step.means[1], {}, {}}, .cv_pct = {}});
            continue;
        }
        StepScore& own = score.steps.emplace_back();
        own.step = step.step;
        own.kind = step.kind;
        own.measures = summaries_of(step.means);
    }
    return score;
}

}  // namespace tracehold
