#pragma once
// The resources of one person's course.
#include <chrono>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "exchange/fhir_parts.hpp"
#include "tracehold/core/made_with.hpp"
#include "tracehold/course/course.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold::fhir {

// A course with the scores it was charted from.
struct CourseOf {
    const Course& course;
    std::span<const SessionScore> scores;
    Pointing pointing;
    std::chrono::sys_seconds made{};
    MadeWith made_with = {};
};

// With their ids, in the order of the output: observations, report, provenance.
std::vector<std::pair<Json, std::string>> course_resources(const CourseOf& of);

}  // namespace tracehold::fhir
