#pragma once
// Sessions and contractions done against the dose, week by week.
#include "course/admit_sessions.hpp"
#include "tracehold/course/chart_course.hpp"

namespace tracehold {

// Of settings: today, count_until, before.
// A week's dose is that of the plan of the latest training session up to its end.
Adherence follow_dose(const AdmittedSessions& sessions, const CourseSettings& settings);

}  // namespace tracehold
