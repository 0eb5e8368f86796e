#pragma once
// Where a session stands to a target that a clinician set: one verdict, which every page tells in its own words.
#include "tracehold/measures/session_score.hpp"

namespace tracehold {

enum class Verdict {
    met,         // the 95 % interval of the mean lies clear of the limit, on the wanted side
    missed,      // clear of it, on the other side
    unclear,     // the interval holds the limit
    too_few,     // a single contraction has no interval, so nothing is told of it
    doubtful,    // a target for rest, where what was found in the signal may make it read too high or too low
    subtracted,  // a target for rest, where a floor or baseline was taken off the activity
    no_value,
};

Verdict verdict_on(const SessionScore& score, const TargetOutcome& outcome);

}  // namespace tracehold
