#pragma once
// One measure over one phase: first its figures, then, when all tests of the course are known, its statement.
#include <span>
#include <vector>

#include "tracehold/course/course.hpp"
#include "tracehold/course/course_measures.hpp"

namespace tracehold {

inline constexpr double kLevel = 0.05;  // of all tests of a course together

struct ChangeInput {
    const CourseMeasure& measure;
    std::vector<CoursePoint> points;  // in order of time, at least one
    std::span<const CourseSession> sessions;
    std::size_t min_days = 6;
    bool primary = measure.primary;  // one of those that are tested
};

// Everything but p_adjusted and what follows from it. reason is set where there is not enough for a statement, or the
// measure is not primary.
MeasureChange follow_measure(ChangeInput input);

// True where follow_measure left the statement to the account for all tests.
bool is_tested(const MeasureChange& change);

// tested: number of measures of the course that are accounted for together. Sets statement and text.
void state_change(MeasureChange& change, std::size_t tested);

// The statement in words (statement_text.cpp). In: everything else is set.
std::string statement_text(const MeasureChange& change, std::size_t tested);
std::string plateau_text(const MeasureChange& change, const Plateau& plateau);

}  // namespace tracehold
