#include "tracehold/measures/muscle_seen.hpp"

namespace tracehold {

bool muscle_seen(const SessionScore& score) { return score.quality.usable && !has_finding(score.quality, kMuscleNotSeen); }

}  // namespace tracehold
