#pragma once
#include "tracehold/course/course.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// The first answer of a session's page, for all who tell what was done: counts that add up to what was asked for, in text; what
// keeps them from being taken at their face, in text and details. In English.
Answer did_it_happen(const SessionScore& score);

// The same of a course. A percentage only of a week and more, and never above 100: of less it would be the rounding of a part
// week, and more sessions than prescribed are no better adherence.
Answer did_it_happen(const Course& course);

}  // namespace tracehold
