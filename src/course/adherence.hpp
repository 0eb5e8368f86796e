#pragma once
// Sessions and contractions done against the dose, week by week.
#include "course/admit_sessions.hpp"
#include "tracehold/course/course.hpp"

namespace tracehold {

// today: the last day up to which prescribed weeks can count although no session came. They do where always, or the
// latest plan, says so; else weeks end with the last session.
// A week's dose is that of the plan of the latest training session up to its end.
Adherence follow_dose(const AdmittedSessions& sessions, std::optional<std::chrono::sys_days> today, bool always);

}  // namespace tracehold
