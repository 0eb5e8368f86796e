#pragma once
#include "tracehold/course/course.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// Anchors of the columns of a table of changes.
inline constexpr const char* kFirstDays = "baseline";
inline constexpr const char* kNowDays = "current";
inline constexpr const char* kChange = "change";
inline constexpr const char* kNeeded = "needed";
inline constexpr const char* kStatement = "statement";

// And of a table of what the statements rest on.
inline constexpr const char* kSlope = "slope_per_week";
inline constexpr const char* kP = "p";
inline constexpr const char* kAccountedP = "p_adjusted";
inline constexpr const char* kSem = "sem";
inline constexpr const char* kMdc95 = "mdc95";

// How the numbers of a course page are made: its columns, then each measure that a phase has.
Section course_definitions(const Course& course);

}  // namespace tracehold
