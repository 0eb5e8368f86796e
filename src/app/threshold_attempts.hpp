#pragma once
// Which contractions of a recording a threshold may rest on.
#include <cstddef>
#include <vector>

#include "tracehold/core/estimate.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold {

// number: as on the page of the session.
struct Attempt {
    int number = 0;
    Estimate best_second_uv;
};

struct Attempts {
    std::vector<Attempt> holds;   // never empty
    std::size_t passed_over = 0;  // quick and long contractions: no attempt at a maximum
};

// In: a score by the plan that was performed, or by none; prescribed: the plan that gets the threshold. Errors:
// unsupported (a signal in doubt; training instead of contractions as hard as possible, as the plan or the cues tell),
// too_short (no hold of a second). A wrong threshold is trained against for weeks, so each doubt stops here.
Attempts attempts_in(const SessionScore& score, const Plan& prescribed);

}  // namespace tracehold
