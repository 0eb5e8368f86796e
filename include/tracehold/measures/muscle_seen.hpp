#pragma once
#include <string_view>

#include "tracehold/measures/session_score.hpp"

namespace tracehold {

// The code of the caution that nothing shows the electrode saw the muscle.
inline constexpr std::string_view kMuscleNotSeen = "muscle_not_seen";

// Whether the session tells of the muscle: its signal was not rejected, and something in it shows that the electrode saw the
// muscle. Where it does not, the session was held, its numbers are of no muscle, and what was called missed may have been
// done: courses and audits take no value from it.
bool muscle_seen(const SessionScore& score);

}  // namespace tracehold
