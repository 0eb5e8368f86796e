#pragma once
#include <string>

#include "tracehold/core/units.hpp"
#include "tracehold/simulate/scenario.hpp"

namespace tracehold {

// Errors: bad_setting with the key as its place: a number that is not finite or out of its range, numbers of cycles
// that the plan does not have, faults outside the recording, a recording of more than six hours or 200 million samples.
void check_scenario(const Scenario& scenario);

// Plan, lead-in and pause.
Seconds recording_length(const Scenario& scenario);

[[noreturn]] void refuse_scenario(const std::string& place, const std::string& message);

}  // namespace tracehold
