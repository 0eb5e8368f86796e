#include "measures/levels.hpp"

#include <algorithm>
#include <cmath>

#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {

Levels levels_of(const CycleView& view) {
    if (!view.rest_level) return {.reason = view.rest_level.reason};
    if (!view.hold_level) return {.reason = view.hold_level.reason};
    const double rest = *view.rest_level.value;
    const double hold = *view.hold_level.value;
    const double error = std::hypot(view.rest_level.error.value_or(0.0), view.hold_level.error.value_or(0.0));
    if (!(hold - rest > 3.0 * error)) return {.reason = "work hardly differs from rest"};
    return {rest, hold, {}};
}

std::string why_no_rest(const CleanRecording& clean) {
    return has_finding(clean.quality, "rest_unreadable") ? "resting activity cannot be read: rest_unreadable" : "";
}

}  // namespace tracehold
