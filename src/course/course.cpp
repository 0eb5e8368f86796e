#include "tracehold/course/course.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "course/figure_text.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/course/course_measures.hpp"

namespace tracehold {
namespace {

const MeasureChange* measure_in(const Phase& phase, std::string_view key) {
    const auto found = std::find_if(phase.measures.begin(), phase.measures.end(), [&](const MeasureChange& change) { return change.key == key; });
    return found == phase.measures.end() ? nullptr : &*found;
}

// Said, or of a measure that is described only: within what a change has to exceed.
bool stays(const MeasureChange& change) {
    if (change.statement) return change.statement == Statement::no_change_shown;
    return change.change && change.needed_rise && *change.change <= *change.needed_rise && -*change.change <= *change.needed_fall;
}

}  // namespace

std::string_view to_string(Statement statement) {
    switch (statement) {
        case Statement::more: return "more";
        case Statement::less: return "less";
        case Statement::no_change_shown: return "no_change_shown";
        case Statement::not_enough: return "not_enough";
    }
    return "unknown";
}

std::string_view to_string(ErrorSource source) {
    switch (source) {
        case ErrorSource::own_repeats: return "own_repeats";
        case ErrorSource::published: return "published";
    }
    return "unknown";
}

std::size_t compared_points(const MeasureChange& change) {
    return static_cast<std::size_t>(
        std::count_if(change.points.begin(), change.points.end(), [](const CoursePoint& point) { return point.compared; }));
}

std::size_t lower_limits(const MeasureChange& change) {
    return static_cast<std::size_t>(std::count_if(change.points.begin(), change.points.end(),
                                                  [](const CoursePoint& point) { return point.compared && point.at_least; }));
}

std::string lengths_text(const std::vector<Lengths>& lengths) {
    std::string text;
    for (const Lengths& one : lengths)
        text += fmt::format("{}{} s and {} s of rest", text.empty() ? "" : "; ", number_text(one.work_s), number_text(one.rest_s));
    return text;
}

std::string lengths_apart(const Phase& phase) {
    const auto named = [](const std::vector<Lengths>& lengths) {
        return lengths.empty() ? "lengths that no plan names" : lengths_text(lengths);
    };
    return fmt::format("{} contractions of {} from {} on, after those of {}: what was before and after is not compared",
                       to_string(phase.contraction), named(phase.lengths), date_text({phase.lengths_change->day, std::nullopt}),
                       named(phase.lengths_change->before));
}

std::string conditions_text(const Phase& phase) {
    const std::string posture = phase.posture.empty() ? "posture not stated" : shown(phase.posture);
    const std::string step = phase.step_name.empty() ? "" : ", " + phase.step_name;
    const std::string lengths = phase.lengths_change ? ", " + lengths_text(phase.lengths) : "";
    return fmt::format("{}, {}, {}{}{}", to_string(phase.purpose), posture, shown(phase.channel), step, lengths);
}

std::string set_up_question(const Phase& phase) {
    const MeasureChange *hold = measure_in(phase, "hold_mean_uv"), *share = measure_in(phase, kHoldOfReference);
    const bool moved = hold != nullptr && (hold->statement == Statement::more || hold->statement == Statement::less);
    if (!moved || share == nullptr || !stays(*share)) return "";
    return "Hold mean moved, and the best second of the sessions with it: more or less activity of the muscle and another electrode, place of it "
           "or gain look the same in both. Was the set-up the same throughout?";
}

std::string threshold_apart(const Phase& phase) {
    const auto named = [](const Threshold& threshold) {
        return threshold.microvolts ? with_unit(*threshold.microvolts, "µV")
                                    : with_unit(threshold.percent_of_reference.value_or(0.0), "%") + " of each session's best second";
    };
    return fmt::format("threshold {} from {} on, {} before: time above the threshold is compared under the one now in force only",
                       named(*phase.threshold), date_text({phase.threshold_change->day, std::nullopt}), named(phase.threshold_change->before));
}

}  // namespace tracehold
