#pragma once
// A whole recording through cleaning, envelope, cycles and measures, and all of what it scores to as lines of text.
#include <fmt/format.h>

#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "support/told_spans.hpp"
#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/cycles/find_cycles.hpp"
#include "tracehold/envelope/follow_envelope.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/measures/score_session.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold::test {

// accessory: the second channel, where there is one, is that of the accessory muscle.
inline SessionScore score_of(const Recording& recording, const Plan* plan,
                             const std::vector<Correction>& corrections = {}, ScoreSettings settings = {},
                             bool accessory = false) {
    for (const Correction& correction : corrections) {
        if (correction.action == CorrectionAction::mask)
            settings.clean.mask.push_back({correction.from_s, correction.to_s});
    }
    const CleanRecording clean = clean_recording(recording, 0, settings.clean);
    const Envelope envelope = follow_envelope(clean, settings.envelope);
    const Cycles cycles = find_cycles({clean, envelope, recording.marks, plan, corrections}, settings.cycles);
    std::optional<CleanRecording> other;
    std::optional<Envelope> other_envelope;
    if (accessory && recording.channels.size() > 1) {
        other = clean_recording(recording, 1, settings.clean);
        other_envelope = follow_envelope(*other, settings.envelope);
    }
    const Channel& channel = recording.channels[0];
    return score_session({.recording = {.duration_s = recording.duration_s(),
                                        .channel = channel.label,
                                        .rate_hz = channel.rate.value,
                                        .kind = channel.kind},
                          .notes = {},
                          .clean = clean,
                          .envelope = envelope,
                          .cycles = cycles,
                          .plan = plan,
                          .accessory = other ? &*other_envelope : nullptr,
                          .accessory_trace = other ? &*other : nullptr,
                          .corrections = corrections,
                          .settings = settings});
}

inline std::string told(std::optional<double> value) { return value ? fmt::format(" {:.6g}", *value) : " -"; }
inline std::string told(const Estimate& value) { return told(value.value) + told(value.error); }

// From the cue on, so that a millisecond counts alike early and late in a session.
inline std::string told(const std::optional<EventTime>& time, const std::optional<double>& fifth_s, double cue_s) {
    const std::string fifth = told(fifth_s ? std::optional(*fifth_s - cue_s) : std::nullopt);
    return time ? fmt::format(" {:.5f} {:.5f} {:.5f} {:.5f}", time->time_s - cue_s, time->error_s, time->low_s - cue_s,
                              time->high_s - cue_s) +
                      fifth
                : " -" + fifth;
}

// Why values are not there: each reason once, with how many it keeps back.
inline std::string told_reasons(const std::vector<Estimate>& values) {
    std::map<std::string, int> reasons;
    for (const Estimate& value : values) {
        if (!value) ++reasons[value.reason];
    }
    std::string text;
    for (const auto& [reason, count] : reasons)
        text += fmt::format("{}{}: {}", text.empty() ? " reasons " : "; ", reason, count);
    return text;
}

inline std::string told(const ScoredCycle& scored) {
    const Cycle& cycle = scored.cycle;
    std::string text = fmt::format(
        "cycle {} {} {} step{} work {:.4f} {:.4f} rest {:.4f} onset{} offset{} begins {}", cycle.index,
        to_string(cycle.kind), to_string(cycle.status), told(cycle.step), cycle.work.begin_s, cycle.work.end_s,
        cycle.rest.end_s, told(cycle.onset, cycle.rise_20_s, cycle.work.begin_s),
        told(cycle.offset, cycle.fall_20_s, cycle.work.end_s), cycle.begins ? to_string(*cycle.begins) : "-");
    for (const std::string& what : cycle.corrected) text += " corrected " + what;
    text += " values";
    for (const Estimate& value : scored.values) text += told(value);
    return text + told_reasons(scored.values) + fmt::format(" ({}; {})\n", cycle.onset_reason, cycle.offset_reason);
}

inline std::string told(const Finding& finding) {
    return fmt::format("found {} {} {}{}\n", finding.code, to_string(finding.severity), finding.text, told(finding.spans));
}

inline std::string told(const Summary& summary) {
    return fmt::format(" {}", summary.n) + told(summary.mean) + told(summary.sd) + told(summary.ci95_low);
}

inline std::string told(const SessionScore& score) {
    const auto& hum = score.quality.mains;
    std::string text = fmt::format(
        "cues {}{}{} planned {} done {} missed {} extra {} unusable {} masked {:.4f} floor {:.6g} hum{} reference{} "
        "threshold{} of cycle{}\n",
        to_string(score.cues), told(score.cue_offset_s), told(score.cue_confidence), score.planned, score.done,
        score.missed, score.extra, score.unusable, score.quality.masked_s, score.noise_floor_uv,
        told(hum ? std::optional(hum->rms_uv) : std::nullopt), told(score.reference_uv), told(score.threshold_uv),
        told(score.reference_cycle));
    for (const Note& note : score.notes) text += fmt::format("noted {} {}\n", note.code, note.text);
    for (const Finding& finding : score.quality.findings) text += told(finding);
    for (const ScoredCycle& scored : score.cycles) text += told(scored);
    if (!score.cycles.empty()) text += fmt::format("summary of {}", to_string(score.summary_kind));
    for (const Summary& summary : score.measures) text += summary.n > 0 ? told(summary) : " 0";
    text += "\n";
    for (const StepScore& step : score.steps)
        text += fmt::format("step{} {} {} {} {} {}\n", told(step.step), to_string(step.kind), step.planned, step.done,
                            step.missed, step.unusable);
    for (const RestScore& rest : score.rests) {
        text += fmt::format("rest step {} window{}{} mean{} cv{} {}\n", rest.step,
                            told(rest.window ? std::optional(rest.window->begin_s) : std::nullopt),
                            told(rest.window ? std::optional(rest.window->end_s) : std::nullopt), told(rest.mean_uv),
                            told(rest.cv_pct), rest.mean_uv.reason);
    }
    for (const TargetOutcome& outcome : score.targets)
        text += fmt::format("target {}{} {} {}\n", outcome.target.measure, told(outcome.value),
                            outcome.met ? (*outcome.met ? "met" : "not met") : "-", outcome.value.reason);
    return text;
}

}  // namespace tracehold::test
