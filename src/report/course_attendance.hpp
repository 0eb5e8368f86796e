#pragma once
// Did the sessions happen, as the page of a course says it.
#include "tracehold/course/course.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// The first question of the page. A percentage only of a week and more, and never above 100: of less it would be the
// rounding of a part week, and more sessions than prescribed are no better adherence.
Answer happened(const Course& course);

// What became of each step of the plan; empty without one.
Section steps_section(const Course& course);

// Every input and session that is missing from the figures, each with its reason; then the notes.
Section left_out_section(const Course& course);

}  // namespace tracehold
