#include "tracehold/course/course.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tracehold/core/number_text.hpp"

namespace tracehold {

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

namespace {
constexpr double kFewestPlanned = 3.0;  // our choice: of fewer a share is a rounding
constexpr long kLeast_days = 7;         // our choice: a dose is of a week
}

TrainedDays trained_days(const Adherence& seen) {
    TrainedDays trained;
    for (const CourseWeek& week : seen.weeks) {
        for (std::size_t i = 0; i < week.days.size(); ++i) {
            if (week.days[i] == 0) continue;
            trained.last = week.monday + std::chrono::days{static_cast<int>(i)};
            if (!trained.any) trained.first = trained.last;
            trained.any = true;
        }
    }
    return trained;
}

std::size_t within_dose(const CourseWeek& week) {
    return std::min(week.sessions, static_cast<std::size_t>(std::ceil(week.planned_sessions.value_or(0.0) - 1e-9)));
}

std::size_t weeks_of_training(const Adherence& seen) {
    TrainedDays trained = trained_days(seen);
    if (seen.prescribed && seen.prescribed->counted_on) trained.last = std::max(trained.last, seen.prescribed->counted_to);
    return trained.any ? static_cast<std::size_t>((trained.last - trained.first).count()) / 7 + 1 : 1;
}

bool held_against_dose(const Adherence& seen) {
    return seen.planned_sessions && *seen.planned_sessions >= kFewestPlanned &&
           (seen.weeks.size() > 2 || trained_days(seen).days() >= kLeast_days);
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

std::size_t wholly_due(double planned) {
    constexpr double kRounding = 1e-9;  // three sevenths and four sevenths are one
    return static_cast<std::size_t>(std::max(0.0, std::floor(planned + kRounding)));
}

}  // namespace tracehold
