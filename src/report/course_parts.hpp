#pragma once
// What the short pages of a course tell of, for those who read no table of phases.
#include <chrono>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/course/course.hpp"

namespace tracehold {

// The training phases that are told of, one for each posture and kind of contraction, the latest: two of one name would
// seem to contradict each other. In the order of the course.
std::vector<const Phase*> told_phases(const Course& course);

// Of the four measures that are tested; none for any other.
std::vector<const MeasureChange*> tested_changes(const Phase& phase);

// The measures that are told of first, tested or not.
std::vector<const MeasureChange*> primary_measures(const Phase& phase);

// There is enough to state a change, or that none is shown.
bool is_enough(const MeasureChange& change);

// Those of the means of a phase, all as fine as each other.
int mean_decimals(std::string_view unit);

// "2026-03-02"
std::string day_text(std::chrono::sys_days day);

// Sessions that are no training.
struct Assessments {
    std::size_t all = 0, usable = 0;
};
Assessments assessments_in(const Course& course);

// The prescribed weeks end a week or more after the last recording: the page says so, for the dose counts to that session.
bool plan_goes_on(const Adherence& seen);
// ... and that week has passed without a session.
bool fell_silent(const Adherence& seen);

// Those of all phases, each once, in order of time.
std::vector<const CourseSession*> sessions_of(const Course& course);
std::size_t corrected_sessions(const Course& course);

// Recordings there are, and not one with a date that can be right: nothing takes part.
bool none_has_a_day(const Course& course);

// Recordings there are, and each has cues of another plan than the one it was scored by.
bool all_of_other_plans(const Course& course);

// There are sessions, and the signal of each was rejected.
bool none_could_be_scored(const Course& course);

}  // namespace tracehold
