#pragma once
// Sessions that may be compared, kept apart from those that may not.
#include <optional>
#include <string_view>
#include <vector>

#include "course/admit_sessions.hpp"
#include "tracehold/course/course.hpp"
#include "tracehold/course/course_measures.hpp"

namespace tracehold {

// One phase for each set of equal conditions, in order of first appearance; measures still empty.
std::vector<Phase> split_phases(const AdmittedSessions& sessions);

// The entry of score.steps that an assessment's phase compares; null in training and of a rest step.
const StepScore* step_of(const Phase& phase, const SessionScore& score);

// Of the step, or of the session in training; of a rest step its resting activity alone. Empty where the session has none, or its
// signal was rejected.
std::optional<double> value_in(const Phase& phase, const SessionScore& score, std::string_view measure);

// Whether it is one of the few that are tested in this phase.
bool is_primary(const Phase& phase, const CourseMeasure& measure);

bool is_by_threshold(std::string_view measure);

// Whether the session's value of the measure may stand beside those of the phase now: of a measure by a threshold only under the
// one that is in force.
bool is_comparable(const Phase& phase, const SessionScore& score, std::string_view measure);

PlanPurpose purpose_of(const SessionScore& score);

// "hold 6 s, 8 times", "opening rest 20 s"; "hold 5 s, 3 times (step 4)" where another step would have the same name.
std::string step_name(const std::vector<Step>& steps, std::size_t i);

// Plans are told apart by content; those read from a result without it by name. "" = no plan.
std::string plan_identity(const SessionScore& score);

// How the adherence and the phases count one session.
CourseSession course_session(const SessionScore& score, std::size_t index,
                             std::chrono::sys_time<std::chrono::milliseconds> first);

}  // namespace tracehold
