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
    if (!(hold - rest > 3.0 * error)) return {.reason = "work hardly differs from the rest before"};
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

std::string why_cut_off(const CleanRecording& clean, TimeSpan span) {
    // Gaussian noise with its tops cut off at c times its RMS: 2 % of the samples and 1.8 % of the RMS at c = 2.33, 5 % and 4 % at c = 2. Our
    // derivation.
    constexpr double kMost = 0.02;
    double cut_s = 0.0;
    const auto ends_later = [](double time_s, TimeSpan top) { return time_s < top.end_s; };
    for (auto top = std::upper_bound(clean.clipped.begin(), clean.clipped.end(), span.begin_s, ends_later);
         top != clean.clipped.end() && top->begin_s < span.end_s; ++top)
        cut_s += std::min(top->end_s, span.end_s) - std::max(top->begin_s, span.begin_s);
    return cut_s > kMost * span.length_s() ? "the recorder's limits cut off more than 2 % of it: it would read too low" : "";
}

std::string why_no_rest(const CleanRecording& clean) {
    return has_finding(clean.quality, "rest_unreadable") ? "resting activity cannot be read: it is finer than the recorder can tell" : "";
}

}  // namespace tracehold
