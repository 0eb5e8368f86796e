#include "course/day_values.hpp"

#include <algorithm>
#include <cmath>

#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

// Our choices. Two weeks: long enough for a spread, short enough that little of a course's change falls into it.
// Three days: the least from which a spread is worth telling.
constexpr double kBlock_days = 14.0;
constexpr std::size_t kLeastBlock = 3;

std::size_t block_size(std::size_t near, std::size_t all) {
    const std::size_t half = std::max<std::size_t>(1, all / 2);
    return std::min(std::max(near, kLeastBlock), half);
}

}  // namespace

std::optional<std::vector<DayValue>> day_values(std::span<const CoursePoint> points,
                                                std::span<const CourseSession> sessions, bool log_scale) {
    std::vector<DayValue> days;
    for (const CoursePoint& point : points) {
        if (!point.compared) continue;
        if (log_scale && point.value <= 0.0) return std::nullopt;
        const CourseSession& session = sessions[point.session];
        if (days.empty() || days.back().day != session.day) days.push_back({.day = session.day});
        days.back().values.push_back(log_scale ? std::log(point.value) : point.value);
        days.back().at_days += session.since_first_days;
    }
    for (DayValue& day : days) {
        day.at_days /= static_cast<double>(day.values.size());
        day.scaled = *summarise(day.values).mean;
    }
    return days;
}

std::vector<double> times_of(std::span<const DayValue> days) {
    std::vector<double> times;
    for (const DayValue& day : days) times.push_back(day.at_days);
    return times;
}

std::vector<double> scaled_of(std::span<const DayValue> days) {
    std::vector<double> values;
    for (const DayValue& day : days) values.push_back(day.scaled);
    return values;
}

std::span<const DayValue> first_days(std::span<const DayValue> days) {
    const auto near = std::count_if(days.begin(), days.end(), [&](const DayValue& day) {
        return static_cast<double>((day.day - days.front().day).count()) < kBlock_days;
    });
    return days.first(days.empty() ? 0 : block_size(static_cast<std::size_t>(near), days.size()));
}

std::span<const DayValue> last_days(std::span<const DayValue> days) {
    const auto near = std::count_if(days.begin(), days.end(), [&](const DayValue& day) {
        return static_cast<double>((days.back().day - day.day).count()) < kBlock_days;
    });
    return days.last(days.empty() ? 0 : block_size(static_cast<std::size_t>(near), days.size()));
}

}  // namespace tracehold
