#pragma once
// The measures that a course follows: those of measure_list() that are amounts, and one of its own.
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "tracehold/measures/session_score.hpp"

namespace tracehold {

// Ratio of the hold to the best second of the same session: what is left when set-up and electrode change both.
inline constexpr std::string_view kHoldOfReference = "hold_of_reference_pct";

struct CourseMeasure {
    std::string_view key;
    std::string_view title;
    std::string_view unit;
    std::string_view ucum;
    std::string_view definition;
    std::string_view source;
    bool log_scale = false;  // amplitudes: they differ by factors, so changes are percent
    bool primary = false;  // in training
};

// In the order of tables. Primary in training are hold_mean_uv and hold_of_reference_pct (what the muscle does when asked),
// rest_mean_uv and release_s (what it does when not): four, because each one more makes every statement harder to
// reach. Time above threshold is not, because it moves with the plan's threshold; the rest repeat these or are noisier.
std::span<const CourseMeasure> course_measures();

// Of an assessment one measure is tested for each kind of step, in the first step of that kind: resting activity, peak of rapid
// contractions, mean of a hold, endurance. What a visit has more of is described: each more would make every statement harder to reach.
std::string_view assessed_measure(StepKind kind);

// The session's value: mean over the done contractions of the session's main kind, or of one step of its plan (an
// entry of score.steps). Empty where the session has none, or its signal was rejected.
std::optional<double> session_value(const SessionScore& score, const StepScore* step, std::string_view key);

}  // namespace tracehold
