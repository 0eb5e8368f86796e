#pragma once
// Did the sessions happen, as the page of a course tells it beside its first answer.
#include "tracehold/course/course.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// What became of each step of the plan; empty without one.
Section steps_section(const Course& course);

// Every input and session that is missing from the figures, each with its reason; then the notes.
Section left_out_section(const Course& course);

}  // namespace tracehold
