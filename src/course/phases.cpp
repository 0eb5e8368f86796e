#include "course/phases.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <span>
#include <tuple>

#include "tracehold/core/number_text.hpp"
#include "tracehold/measures/cued_windows.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/measures/muscle_seen.hpp"
#include "tracehold/plan/follows_plan.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

std::string lower(std::string text) {
    for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return text;
}

// The window that was asked for: what is in use is the nearest odd number of samples, and differs with the rate.
std::string processing_of(const SessionScore& score) {
    std::string text;
    if (score.low_hz > 0.0 || score.high_hz > 0.0) {
        text = fmt::format("{}-{} Hz, ", fixed_text(score.low_hz, 0), fixed_text(score.high_hz, 0));
    }
    switch (score.envelope_method) {
        case EnvelopeMethod::as_exported: text += "envelope as exported"; break;
        case EnvelopeMethod::moving_rms:
            text += fmt::format("moving RMS over {} ms", fixed_text(1000.0 * score.settings.envelope.window.value, 0));
            break;
        case EnvelopeMethod::rectified: text += "rectified and low-passed"; break;
    }
    if (noise_subtracted(score)) text += ", quietest level subtracted";
    if (baseline_subtracted(score)) text += ", baseline subtracted";
    return text;
}

// What a phase compares of a session: an assessment's step, a rest step among them; in training all contractions of a kind.
struct Part {
    StepKind kind = StepKind::hold;
    std::optional<int> step;
    bool is_step = false;
};

// The step of its plan; null where it is not known.
const Step* step_in_plan(const Part& part, const SessionScore& score) {
    const bool known = part.step && score.plan && static_cast<std::size_t>(*part.step) < score.plan->steps.size();
    return known ? &score.plan->steps[static_cast<std::size_t>(*part.step)] : nullptr;
}

RestPlace place_of(const std::vector<Step>& steps, std::size_t i) {
    if (steps[i].kind != StepKind::rest) return RestPlace::between;
    const auto is_rest = [](const Step& other) { return other.kind == StepKind::rest; };
    const Step *first = steps.data(), *step = first + i, *last = first + steps.size();
    if (std::all_of(first, step, is_rest)) return RestPlace::opening;
    return std::all_of(step + 1, last, is_rest) ? RestPlace::closing : RestPlace::between;
}

// Another step of its kind and length, at the same place: they are told apart by their numbers.
bool is_twin(const std::vector<Step>& steps, std::size_t i) {
    for (std::size_t j = 0; j < steps.size(); ++j) {
        const bool alike = steps[j].kind == steps[i].kind && steps[j].seconds == steps[i].seconds && place_of(steps, j) == place_of(steps, i);
        if (j != i && alike) return true;
    }
    return false;
}

bool is_first_of_kind(const Part& part, const SessionScore& score) {
    const Step* step = step_in_plan(part, score);
    if (step == nullptr) return true;
    return std::none_of(score.plan->steps.data(), step, [&](const Step& earlier) { return earlier.kind == part.kind; });
}

// Of the contractions that are compared: all of one kind, or those of one step.
std::vector<Lengths> lengths_of(const Plan& plan, StepKind kind, std::optional<int> step) {
    std::vector<Lengths> lengths;
    double all = 0.0;
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
        const Step& asked = plan.steps[i];
        if (step ? static_cast<std::size_t>(*step) != i : asked.kind != kind) continue;
        auto same = std::find_if(lengths.begin(), lengths.end(), [&](const Lengths& one) {
            return one.work_s == asked.seconds && one.rest_s == asked.rest_seconds;
        });
        if (same == lengths.end()) same = lengths.insert(same, {asked.seconds, asked.rest_seconds, 0.0});
        same->share += asked.times;
        all += asked.times;
    }
    for (Lengths& one : lengths) one.share /= all;
    return lengths;
}

Phase conditions_of(const SessionScore& score, const Part& part) {
    Phase phase;
    phase.purpose = purpose_of(score);
    phase.posture = score.recording.posture;
    phase.channel = score.recording.channel;
    phase.kind = score.recording.kind;
    phase.processing = processing_of(score);
    phase.contraction = part.kind;
    phase.step = part.step;
    if (part.is_step) phase.step_name = std::string(to_string(part.kind));
    if (part.is_step && step_in_plan(part, score) != nullptr) {
        const auto i = static_cast<std::size_t>(*part.step);
        phase.step_name = step_name(score.plan->steps, i);
        phase.place = place_of(score.plan->steps, i);
        phase.twin_step = is_twin(score.plan->steps, i);
    }
    phase.first_of_kind = is_first_of_kind(part, score);
    if (score.plan) phase.lengths = lengths_of(*score.plan, phase.contraction, phase.step);
    return phase;
}

// All but the lengths.
bool same_conditions(const Phase& a, const Phase& b) {
    const auto key = [](const Phase& phase) {
        return std::tuple(phase.purpose, lower(phase.posture), std::string_view(phase.channel), phase.kind,
                          phase.contraction, phase.step, std::string_view(phase.step_name));
    };
    return key(a) == key(b);
}

// Corners that follow the rate of a recorder whose clock runs a little off are the same corners. Our choice.
constexpr double kSameCorner = 0.01;

bool same_corner(double a_hz, double b_hz) { return std::abs(a_hz - b_hz) <= kSameCorner * std::max(a_hz, b_hz); }

double step_s(const SessionScore& score) { return score.recording.rate_hz > 0.0 ? 1.0 / score.recording.rate_hz : 0.0; }

// A window is a whole number of samples, so it can be met to one sample only.
bool same_processing(const SessionScore& a, const SessionScore& b) {
    const bool same_window = std::abs(a.envelope_window_s - b.envelope_window_s) <= step_s(a) + step_s(b) + 1e-9;
    return a.envelope_method == b.envelope_method && same_corner(a.low_hz, b.low_hz) &&
           same_corner(a.high_hz, b.high_hz) && (a.envelope_method != EnvelopeMethod::moving_rms || same_window) &&
           noise_subtracted(a) == noise_subtracted(b) && baseline_subtracted(a) == baseline_subtracted(b);
}

double median_work_s(const std::vector<TimeSpan>& work) {
    std::vector<double> lengths_s;
    for (const TimeSpan& span : work) lengths_s.push_back(span.length_s());
    return median(lengths_s);
}

// Cues stand for a plan that is not named, as they do in the adherence; without either only what is alike in that is compared.
bool same_lengths(const Phase& phase, const SessionScore& first, const Phase& wanted, const SessionScore& score) {
    if (first.plan && score.plan) return phase.lengths == wanted.lengths;
    const std::vector<TimeSpan> of_first = cued_windows(first), of_score = cued_windows(score);
    if (first.plan || score.plan) {
        const auto& work = first.plan ? of_score : of_first;
        return !work.empty() && follows_plan(work, first.plan ? *first.plan : *score.plan);
    }
    if (of_first.empty() || of_score.empty()) return of_first.empty() == of_score.empty();
    return alike_in_length(median_work_s(of_score), median_work_s(of_first));
}

// Phases that differ in their lengths alone: since when, and which of them are over.
void note_lengths(std::vector<Phase>& phases) {
    for (std::size_t i = 0; i < phases.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {
            Phase &before = phases[j], &phase = phases[i];
            if (!same_conditions(before, phase) || before.processing != phase.processing || before.lengths == phase.lengths) continue;
            const std::chrono::sys_days begun = phase.sessions.front().day;
            phase.lengths_change = LengthsChange{begun, before.lengths};
            before.lengths_given_up = before.lengths_given_up || begun > before.sessions.back().day;
        }
    }
}

// In microvolts wherever they are stated, so that two ways to say one threshold are the same.
std::optional<Threshold> threshold_of(const SessionScore& score) {
    if (!score.plan || !score.plan->threshold) return std::nullopt;
    Threshold threshold = *score.plan->threshold;
    if (threshold.percent_of_reference && threshold.reference_uv)
        threshold = {.microvolts = *threshold.percent_of_reference * *threshold.reference_uv / 100.0, .percent_of_reference = {}, .reference_uv = {}};
    return threshold;
}

bool same_threshold(const Threshold& a, const Threshold& b) {
    constexpr double kRounding = 1e-9;
    const auto same = [](const std::optional<double>& one, const std::optional<double>& other) {
        return one.has_value() == other.has_value() && std::abs(one.value_or(0.0) - other.value_or(0.0)) <= kRounding * one.value_or(0.0);
    };
    return same(a.microvolts, b.microvolts) && same(a.percent_of_reference, b.percent_of_reference);
}

void note_threshold(Phase& phase, const SessionScore& score) {
    const std::optional<Threshold> now = threshold_of(score);
    if (!now) return;
    if (phase.threshold && !same_threshold(*phase.threshold, *now)) phase.threshold_change = ThresholdChange{day_of(score), *phase.threshold};
    phase.threshold = now;
}

// Phases beside the first and the latest session of each.
struct Split {
    std::vector<Phase> phases;
    std::vector<const SessionScore*> first, latest;

    std::size_t index_for(Phase wanted, const SessionScore& score) {
        for (std::size_t i = 0; i < phases.size(); ++i) {
            if (same_conditions(phases[i], wanted) && same_processing(*first[i], score) && same_lengths(phases[i], *first[i], wanted, score))
                return i;
        }
        phases.push_back(std::move(wanted));
        first.push_back(&score);
        latest.push_back(nullptr);
        return phases.size() - 1;
    }
};

std::string plan_name(const SessionScore& score) {
    if (!score.plan) return "";
    return score.plan->name.empty() ? score.plan->source : score.plan->name;
}

void note_plan(Phase& phase, const SessionScore& score, const SessionScore* before) {
    if (before == nullptr || plan_identity(*before) == plan_identity(score)) return;
    phase.plan_changes.push_back({day_of(score), plan_name(score)});
}

// The findings that reject it, or say that no muscle was seen.
std::string why_rejected(const Quality& quality) {
    std::string text;
    for (const Finding& finding : quality.findings) {
        if (finding.severity == Severity::reject || finding.code == kMuscleNotSeen) text += (text.empty() ? "" : "; ") + finding.text;
    }
    return text.empty() ? "the signal was rejected" : text;
}

// In the order of the plan.
std::vector<Part> parts_of(const SessionScore& score) {
    if (purpose_of(score) != PlanPurpose::assessment || score.steps.empty()) return {{.kind = score.summary_kind, .step = {}}};
    std::vector<Part> parts;
    for (const StepScore& step : score.steps) parts.push_back({step.kind, step.step, true});
    for (const RestScore& rest : score.rests) parts.push_back({StepKind::rest, rest.step, true});
    std::stable_sort(parts.begin(), parts.end(), [](const Part& a, const Part& b) { return a.step < b.step; });
    return parts;
}

}  // namespace

std::string step_name(const std::vector<Step>& steps, std::size_t i) {
    const Step& step = steps[i];
    const RestPlace place = place_of(steps, i);
    std::string name = place == RestPlace::opening ? "opening " : place == RestPlace::closing ? "closing " : "";
    name += fmt::format("{} {} s", to_string(step.kind), number_text(step.seconds));
    if (step.kind != StepKind::rest) name += fmt::format(", {} {}", step.times, step.times == 1 ? "time" : "times");
    return is_twin(steps, i) ? fmt::format("{} (step {})", name, i + 1) : name;
}

std::string plan_identity(const SessionScore& score) {
    if (!score.plan) return "";
    return score.plan->sha256.empty() ? plan_name(score) : score.plan->sha256;
}

PlanPurpose purpose_of(const SessionScore& score) {
    return score.plan ? purpose_of(*score.plan) : PlanPurpose::training;
}

CourseSession course_session(const SessionScore& score, std::size_t index,
                             std::chrono::sys_time<std::chrono::milliseconds> first) {
    CourseSession session{.score = index, .source = score.recording.source, .day = day_of(score)};
    session.since_first_days =
        std::chrono::duration<double, std::ratio<86400>>(score.recording.start->local - first).count();
    session.usable = muscle_seen(score);
    if (!session.usable) session.reason = why_rejected(score.quality);
    session.planned = score.planned;
    session.contractions = score.done + score.missed + score.unusable;
    session.counting = session.usable ? score.done : 0;
    session.sha256 = score.recording.sha256;
    if (score.plan) {
        session.plan = score.plan->name.empty() ? score.plan->source : score.plan->name;
        session.plan_sha256 = score.plan->sha256;
    }
    session.corrections = score.corrections;
    return session;
}

const StepScore* step_of(const Phase& phase, const SessionScore& score) {
    if (phase.purpose != PlanPurpose::assessment) return nullptr;
    const auto found = std::find_if(score.steps.begin(), score.steps.end(), [&](const StepScore& step) {
        return step.step == phase.step && step.kind == phase.contraction;
    });
    return found == score.steps.end() ? nullptr : &*found;
}

std::optional<double> value_in(const Phase& phase, const SessionScore& score, std::string_view key) {
    if (phase.contraction != StepKind::rest) return session_value(score, step_of(phase, score), key);
    const auto rest = std::find_if(score.rests.begin(), score.rests.end(), [&](const RestScore& one) { return one.step == phase.step; });
    if (key != "rest_mean_uv" || rest == score.rests.end() || !muscle_seen(score)) return std::nullopt;
    return rest->mean_uv.value;
}

bool is_primary(const Phase& phase, const CourseMeasure& measure) {
    if (phase.purpose != PlanPurpose::assessment || phase.step_name.empty()) return measure.primary;
    return phase.first_of_kind && measure.key == assessed_measure(phase.contraction);
}

bool is_by_threshold(std::string_view measure) {
    const auto index = measure_index(measure);
    return index && measure_list()[*index].family == "threshold";
}

bool is_comparable(const Phase& phase, const SessionScore& score, std::string_view measure) {
    if (!phase.threshold_change || !is_by_threshold(measure)) return true;
    const std::optional<Threshold> own = threshold_of(score);
    return own && same_threshold(*own, *phase.threshold);
}

std::vector<Phase> split_phases(const AdmittedSessions& sessions) {
    Split split;
    for (std::size_t i = 0; i < sessions.scores.size(); ++i) {
        const SessionScore& score = *sessions.scores[i];
        for (const Part& part : parts_of(score)) {
            const std::size_t at = split.index_for(conditions_of(score, part), score);
            Phase& phase = split.phases[at];
            note_plan(phase, score, split.latest[at]);
            note_threshold(phase, score);
            split.latest[at] = &score;
            phase.sessions.push_back(
                course_session(score, sessions.index[i], sessions.scores.front()->recording.start->local));
        }
    }
    note_lengths(split.phases);
    return std::move(split.phases);
}

}  // namespace tracehold
