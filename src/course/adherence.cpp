#include "tracehold/course/adherence.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>

namespace tracehold {

namespace {
constexpr double kFewestPlanned = 3.0;  // our choice: of fewer a share is a rounding
constexpr long kLeastDays = 7;          // our choice: a dose is of a week

long counted_days(const Adherence& seen) {
    if (seen.counted.empty()) return trained_days(seen).days();
    return std::transform_reduce(seen.counted.begin(), seen.counted.end(), 0L, std::plus<>(),
                                 [](const CountedDays& days) { return static_cast<long>((days.to - days.from).count()) + 1; });
}
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
    return std::min(week.sessions - week.after_plan.sessions, static_cast<std::size_t>(std::ceil(week.planned_sessions.value_or(0.0) - 1e-9)));
}

std::size_t weeks_of_training(const Adherence& seen) {
    const auto weeks = [](const CountedDays& days) { return static_cast<std::size_t>((days.to - days.from).count()) / 7 + 1; };
    if (seen.counted.empty()) {
        const TrainedDays trained = trained_days(seen);
        return weeks({trained.first, trained.last});
    }
    return std::transform_reduce(seen.counted.begin(), seen.counted.end(), std::size_t{0}, std::plus<>(), weeks);
}

bool held_against_dose(const Adherence& seen) {
    return seen.planned_sessions && *seen.planned_sessions >= kFewestPlanned &&
           (seen.weeks.size() > 2 || counted_days(seen) >= kLeastDays);
}

std::size_t wholly_due(double planned) {
    constexpr double kRounding = 1e-9;  // three sevenths and four sevenths are one
    return static_cast<std::size_t>(std::max(0.0, std::floor(planned + kRounding)));
}

}  // namespace tracehold
