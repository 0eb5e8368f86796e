#pragma once
// From a recording to its score, on one screen.
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/inputs.hpp"
#include "app/options.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/plan/plan.hpp"
#include "tracehold/read/recording.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// A score, and what pictures of it rest on.
struct Scored {
    SessionScore score;
    Envelope envelope;
    std::optional<Figure> spectrum;
};

// One recording with all that is known about it beside the file.
struct Assignment {
    Recording recording;
    std::optional<Plan> plan;
    std::string site;
    std::string channel;  // label or number; "" = the only one
    std::string accessory;
    std::vector<Correction> corrections;
};

// Reads the file and looks up what the sessions list, the plan and the corrections say about it.
Assignment assign(const std::string& path, const Options& options, const Companions& companions);

// The same, of bytes that were read before.
Assignment assign_bytes(std::string_view bytes, const std::string& path, const Options& options, const Companions& companions);

Scored score_recording(const Assignment& assignment, const ScoreSettings& settings);

// Settings of a score as the options, and for mains the plan, ask for them.
ScoreSettings score_settings(const Options& options, const Plan* plan);

}  // namespace tracehold
