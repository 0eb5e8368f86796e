#pragma once
#include "tracehold/course/course.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// For the clinician at review: did the sessions happen, what changed beyond measurement error, what to ask; then measure by measure,
// week by week, what was left out and why, limits and cautions.
Report compose_course_report(const Course& course, const Figure* first_and_last = nullptr);

}  // namespace tracehold
