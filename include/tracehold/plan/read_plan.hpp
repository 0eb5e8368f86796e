#pragma once
// The verb of this room.
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/note.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold {

// In: the text of a plan file (JSON, comments allowed); source: its name for messages. Out: a Plan with sha256 set.
// Errors: malformed (not JSON: line:column), bad_setting (unknown key with the nearest known one, wrong type, missing posture, times
// or seconds out of range), each with the JSON pointer of the place.
Plan read_plan(std::string_view text, const std::string& source);

// What is legal but makes no sense: rest shorter than the hold, zero dose, hours of work a day, a threshold without a number.
std::vector<Note> check_plan(const Plan& plan);

}  // namespace tracehold
