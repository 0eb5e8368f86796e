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

// How the numbers of a course page are made: its columns, then each measure that a phase has.
Section course_definitions(const Course& course);

}  // namespace tracehold
