#pragma once
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// The first answer of a session's page, for all who tell what was done: counts that add up to what was asked for, in text; what
// keeps them from being taken at their face, in text and details. In English.
Answer did_it_happen(const SessionScore& score);

}  // namespace tracehold
