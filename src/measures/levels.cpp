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

bool begun_before(const CycleView& view) {
    constexpr double kFirstRows_s = 0.1;
    if (view.work.begin_s > kFirstRows_s || view.cycle.onset) return false;
    const Levels levels = levels_of(view);
    const auto& uv = view.envelope.uv;
    const auto first = std::find_if(uv.begin(), uv.end(), [](float e) { return std::isfinite(e); });
    return levels.reason.empty() && first != uv.end() && *first >= levels.at(0.5);
}

std::string why_no_rest(const CleanRecording& clean) {
    return has_finding(clean.quality, "rest_unreadable") ? "resting activity cannot be read: it is finer than the recorder can tell" : "";
}

}  // namespace tracehold
