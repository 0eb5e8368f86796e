#pragma once
// Sessions and contractions done against the dose, week by week.
#include "course/admit_sessions.hpp"
#include "tracehold/course/course.hpp"

namespace tracehold {

// until: the day up to which prescribed weeks count although no session came; empty: the last session.
// A week's dose is that of the plan of the latest training session up to its end.
Adherence follow_dose(const AdmittedSessions& sessions, std::optional<std::chrono::sys_days> until);

}  // namespace tracehold
