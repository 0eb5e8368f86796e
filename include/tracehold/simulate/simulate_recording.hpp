#pragma once
// The verbs of this room.
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/plan/plan.hpp"
#include "tracehold/read/recording.hpp"
#include "tracehold/simulate/scenario.hpp"
#include "tracehold/simulate/truth.hpp"

namespace tracehold {

struct Simulated {
    Recording recording;
    Truth truth;
};

// In: a scenario. Out: one channel, named as the plan names it (else "EMG PFM"), a second one for an accessory muscle
// (else "EMG Abd"); format 'simulated' and a Note of that code, so that nobody takes it for a person. Same scenario,
// same samples, on any machine with IEEE doubles. Each purpose draws from its own stream: a fault, a mark or a missed
// contraction changes nothing elsewhere. Errors: bad_setting.
Simulated simulate_recording(const Scenario& scenario);

// In: a scenario file (JSON, comments allowed) and the plan it is about: one scenario, or
// {"schema": "tracehold.scenario/1", "base": {...}, "sessions": [{...}, ...]}, where each session is merged over the
// base (RFC 7396: null takes a member away). Out: at least one. Errors: malformed, bad_setting (unknown keys are
// refused with the nearest known one).
std::vector<Scenario> read_scenarios(std::string_view text, const std::string& source, const Plan& plan);

// A file of exactly one scenario.
Scenario read_scenario(std::string_view text, const std::string& source, const Plan& plan);

// Schema tracehold.truth/1.
std::string truth_json(const Truth& truth);

}  // namespace tracehold
