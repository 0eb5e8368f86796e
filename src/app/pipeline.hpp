#pragma once
// From a recording to its score, on one screen.
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/inputs.hpp"
#include "app/options.hpp"
#include "tracehold/clean/clean.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/plan/plan.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

// A score, and what pictures of it rest on.
struct Scored {
    SessionScore score;
    std::size_t channel = 0;  // of the recording
    CleanRecording clean;
    Envelope envelope;
};

// One recording with all that is known about it beside the file.
struct Assignment {
    Recording recording;
    std::optional<Plan> plan;
    std::string site;
    std::string channel;  // label or number; "" = the only one
    std::string accessory;
    std::vector<Correction> corrections;
    Given given;
    std::optional<SessionEntry> entry;  // of the sessions list
    const Identity* identity = nullptr; // that of the companions, which outlive this
};

// What is said about a file beside its own bytes, looked up in the options, the list, the plan and the corrections: an
// assignment without its recording. Errors: those of a plan that the list names.
Assignment prepare(const std::string& path, const Options& options, const Companions& companions);

// Puts the recording of these bytes into a prepared assignment. Errors: those of read_recording.
void add_recording(Assignment& assignment, std::string_view bytes, const std::string& path);

// Reads the file and looks up what the sessions list, the plan and the corrections say about it.
Assignment assign(const std::string& path, const Options& options, const Companions& companions);

// The same, of bytes that were read before.
Assignment assign_bytes(std::string_view bytes, const std::string& path, const Options& options, const Companions& companions);

// The score is hidden as the companions' identity asks. Moved in, a recording takes memory only until it is cleaned.
Scored score_recording(Assignment assignment, const ScoreSettings& settings);

// Of a recording that was read but is not usable: why, as an error for the console.
Error rejection(const SessionScore& score);

// Those of one recording, as its result will say them: the base of the call, and what was said of this file.
ScoreSettings settings_for(const Assignment& assignment, const ScoreSettings& base);

// Settings of a score as the options, and for mains the plan, ask for them.
ScoreSettings score_settings(const Options& options, const Plan* plan);

}  // namespace tracehold
