#pragma once
// The noun of this room: one recording, scored.
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/clean/clean.hpp"
#include "tracehold/core/estimate.hpp"
#include "tracehold/core/identity_level.hpp"
#include "tracehold/core/note.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/cycles/cycles.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/plan/plan.hpp"
#include "tracehold/read/corrections.hpp"
#include "tracehold/read/recording.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {

// What was said of a recording beside its own file: by options, by the sessions list (then those facts of the recording are
// the list's words), by corrections. Empty: not said.
struct Given {
    std::string channel;    // label or number from 1
    std::string accessory;  // label or number from 1
    std::optional<double> rate_hz;
    std::string unit;
    std::optional<ChannelKind> kind;
    bool person = false, start = false, posture = false;  // by the sessions list
    std::string corrections_sha256;                       // of the file with the corrections applied here; "" if none were
};

// How a score was made: with the recording, the plan and the corrections, all that is needed to make it again. Printed with
// every result.
struct ScoreSettings {
    CleanSettings clean;
    EnvelopeSettings envelope;
    CycleSettings cycles;
    Given given;
    IdentityLevel identity = IdentityLevel::keep;  // what was hidden from the score afterwards
};

// What a result says of the recording it came from (not the samples).
struct RecordingFacts {
    std::string source;
    std::string sha256;
    FileFormat format = FileFormat::csv;
    std::string person;
    std::optional<CivilTime> start;
    std::string posture;
    std::string site;
    double duration_s = 0.0;
    std::string channel;
    double rate_hz = 0.0;
    ChannelKind kind = ChannelKind::raw;
    std::string unit;
};

// values: one per line of measure_list(), same order.
struct ScoredCycle {
    Cycle cycle;
    std::vector<Estimate> values;
};

// Summaries over the done cycles of one step of the plan (or of one kind of contraction).
// measures: one per line of measure_list(), same order.
struct StepScore {
    std::optional<int> step;  // of the plan; empty without a plan
    StepKind kind = StepKind::hold;
    std::size_t planned = 0, done = 0, missed = 0, unusable = 0;
    std::vector<Summary> measures;
};

// Resting activity in one rest step of the plan, where no contraction is asked for.
// window: what was measured, from the settling on; empty where the recording has no place for it. Mean: as rest_mean_uv.
// cv_pct: SD of the envelope (n - 1) as percent of its mean, without an error of its own; a steady signal has one too, the
// smaller the longer the envelope's window.
struct RestScore {
    int step = 0;  // of the plan
    std::optional<TimeSpan> window;
    Estimate mean_uv;
    Estimate cv_pct;
};

// value: mean over the done cycles of the summary kind; where none of them has the measure, over all done cycles. Its
// error is that of the mean, from the spread between contractions.
struct TargetOutcome {
    Target target;
    Estimate value;
    std::optional<bool> met;  // empty where there is no value, and for resting activity that reads low
};

// Always true: planned = done + missed + unusable where there is a plan, except where the note
// 'contractions_not_recorded' names the planned ones that have no cycle (a cut recording, a cycle that a clinician
// dropped); without a plan planned counts the cues, 0 if there are none or cues are 'trace'. Extra cycles enter no summary. Where
// quality.usable is false every value is empty, with the reason, and there are no targets.
struct SessionScore {
    std::string tool_version{kVersion};  // of the program that made it
    RecordingFacts recording;
    ScoreSettings settings;
    std::optional<Plan> plan;
    CueSource cues = CueSource::trace;
    std::optional<double> cue_offset_s;
    std::optional<double> cue_confidence;
    Quality quality;
    double noise_floor_uv = 0.0;
    EnvelopeMethod envelope_method = EnvelopeMethod::moving_rms;
    double envelope_window_s = 0.1;
    double low_hz = 0.0, high_hz = 0.0;  // the band in use; 0, 0 for envelopes
    std::vector<ScoredCycle> cycles;
    std::size_t planned = 0, done = 0, missed = 0, extra = 0, unusable = 0;
    Estimate reference_uv;  // highest best second of the done cycles: the session's reference contraction
    Estimate threshold_uv;
    std::optional<int> reference_cycle;  // its number
    StepKind summary_kind =
        StepKind::hold;  // what session-wide summaries are over: holds where there are any, else rapid, else endurance
    std::vector<Summary> measures;  // over done cycles of summary_kind; one per line of measure_list()
    std::vector<StepScore> steps;
    std::vector<RestScore> rests;  // in the order of the plan; empty without one and where cues are 'trace'
    std::vector<TargetOutcome> targets;
    std::vector<Correction> corrections;  // those applied
    std::vector<Note> notes;              // of reading, cues and scoring
};

// What was taken off the amplitudes: of a baseline only where they are a recorder's own.
inline bool noise_subtracted(const SessionScore& score) { return score.settings.envelope.subtract_noise_floor; }
inline bool baseline_subtracted(const SessionScore& score) {
    return score.settings.envelope.subtract_baseline && score.envelope_method == EnvelopeMethod::as_exported;
}

// Resting activity then lacks what was taken off, and is held against no target.
inline bool rest_reads_low(const SessionScore& score) { return noise_subtracted(score) || baseline_subtracted(score); }
inline bool is_held_against_target(const SessionScore& score, std::string_view measure) { return measure != "rest_mean_uv" || !rest_reads_low(score); }
inline constexpr char kRestReadsLow[] = "what was subtracted is missing from the resting activity";

}  // namespace tracehold
