#pragma once
// The points of one measure, day by day, on the scale on which they are compared.
#include <chrono>
#include <optional>
#include <span>
#include <vector>

#include "tracehold/course/course.hpp"

namespace tracehold {

// Always true: values of one day are together; scaled is log(value) on the log scale, else value.
struct DayValue {
    std::chrono::sys_days day{};
    double at_days = 0.0;          // mean time of its sessions, since the first of the course
    double scaled = 0.0;           // mean over its sessions
    std::vector<double> values{};  // scaled, one a session
};

// In: points in order of time. Out: one entry a day, in order; empty where a value has no logarithm.
std::optional<std::vector<DayValue>> day_values(std::span<const CoursePoint> points,
                                                std::span<const CourseSession> sessions, bool log_scale);

std::vector<double> times_of(std::span<const DayValue> days);
std::vector<double> scaled_of(std::span<const DayValue> days);

// The first days, or the last: those within 14 days of the end, but at least 3 and at most half of all.
std::span<const DayValue> first_days(std::span<const DayValue> days);
std::span<const DayValue> last_days(std::span<const DayValue> days);

}  // namespace tracehold
