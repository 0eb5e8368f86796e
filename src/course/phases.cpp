#include "course/phases.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <tuple>

#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

std::string lower(std::string text) {
    for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return text;
}

std::string processing_of(const SessionScore& score) {
    std::string text;
    if (score.low_hz > 0.0 || score.high_hz > 0.0) {
        text = fmt::format("{}-{} Hz, ", number_text(score.low_hz), number_text(score.high_hz));
    }
    switch (score.envelope_method) {
        case EnvelopeMethod::as_exported: text += "envelope as exported"; break;
        case EnvelopeMethod::moving_rms:
            text += fmt::format("moving RMS over {} ms", number_text(1000.0 * score.envelope_window_s));
            break;
        case EnvelopeMethod::rectified: text += "rectified and low-passed"; break;
    }
    if (score.settings.envelope.subtract_noise_floor) text += ", noise floor subtracted";
    if (score.settings.envelope.subtract_baseline) text += ", baseline subtracted";
    return text;
}

std::string step_name_of(const StepScore& step, const SessionScore& score) {
    if (!step.step || !score.plan || static_cast<std::size_t>(*step.step) >= score.plan->steps.size()) {
        return std::string(to_string(step.kind));
    }
    const Step& planned = score.plan->steps[static_cast<std::size_t>(*step.step)];
    return fmt::format("{} {} s, {} {}", to_string(planned.kind), number_text(planned.seconds), planned.times,
                       planned.times == 1 ? "time" : "times");
}

Phase conditions_of(const SessionScore& score, const StepScore* step) {
    Phase phase;
    phase.purpose = purpose_of(score);
    phase.posture = score.recording.posture;
    phase.channel = score.recording.channel;
    phase.kind = score.recording.kind;
    phase.processing = processing_of(score);
    phase.contraction = step != nullptr ? step->kind : score.summary_kind;
    if (step != nullptr) {
        phase.step = step->step;
        phase.step_name = step_name_of(*step, score);
    }
    return phase;
}

bool same_conditions(const Phase& a, const Phase& b) {
    const auto key = [](const Phase& phase) {
        return std::tuple(phase.purpose, lower(phase.posture), std::string_view(phase.channel), phase.kind,
                          std::string_view(phase.processing), phase.contraction, phase.step,
                          std::string_view(phase.step_name));
    };
    return key(a) == key(b);
}

Phase& phase_for(std::vector<Phase>& phases, Phase wanted) {
    const auto found =
        std::find_if(phases.begin(), phases.end(), [&](const Phase& phase) { return same_conditions(phase, wanted); });
    if (found != phases.end()) return *found;
    phases.push_back(std::move(wanted));
    return phases.back();
}

std::string plan_name(const SessionScore& score) {
    if (!score.plan) return "";
    return score.plan->name.empty() ? score.plan->source : score.plan->name;
}

// Plans are told apart by content; those read from a result without it by name.
std::string plan_identity(const SessionScore& score) {
    if (!score.plan) return "";
    return score.plan->sha256.empty() ? plan_name(score) : score.plan->sha256;
}

void note_plan(Phase& phase, const SessionScore& score, const SessionScore* before) {
    if (before == nullptr || plan_identity(*before) == plan_identity(score)) return;
    phase.plan_changes.push_back({day_of(score), plan_name(score)});
}

std::vector<const StepScore*> parts_of(const SessionScore& score) {
    std::vector<const StepScore*> parts;
    if (purpose_of(score) == PlanPurpose::assessment) {
        for (const StepScore& step : score.steps) parts.push_back(&step);
    }
    if (parts.empty()) parts.push_back(nullptr);
    return parts;
}

}  // namespace

PlanPurpose purpose_of(const SessionScore& score) {
    return score.plan ? purpose_of(*score.plan) : PlanPurpose::training;
}

CourseSession course_session(const SessionScore& score, std::size_t index,
                             std::chrono::sys_time<std::chrono::milliseconds> first) {
    CourseSession session{.score = index, .source = score.recording.source, .day = day_of(score)};
    session.since_first_days =
        std::chrono::duration<double, std::ratio<86400>>(score.recording.start->local - first).count();
    session.usable = score.quality.usable;
    session.planned = score.planned;
    session.contractions = score.done + score.missed + score.unusable;
    session.counting = session.usable ? score.done : 0;
    return session;
}

const StepScore* step_of(const Phase& phase, const SessionScore& score) {
    if (phase.purpose != PlanPurpose::assessment) return nullptr;
    const auto found = std::find_if(score.steps.begin(), score.steps.end(), [&](const StepScore& step) {
        return step.step == phase.step && step.kind == phase.contraction;
    });
    return found == score.steps.end() ? nullptr : &*found;
}

std::vector<Phase> split_phases(const AdmittedSessions& sessions) {
    std::vector<Phase> phases;
    std::vector<const SessionScore*> before;  // of each phase: its latest session
    for (std::size_t i = 0; i < sessions.scores.size(); ++i) {
        const SessionScore& score = *sessions.scores[i];
        for (const StepScore* step : parts_of(score)) {
            Phase& phase = phase_for(phases, conditions_of(score, step));
            before.resize(phases.size(), nullptr);
            const SessionScore*& latest = before[static_cast<std::size_t>(&phase - phases.data())];
            note_plan(phase, score, latest);
            latest = &score;
            phase.sessions.push_back(
                course_session(score, sessions.index[i], sessions.scores.front()->recording.start->local));
        }
    }
    return phases;
}

}  // namespace tracehold
