#pragma once
#include <optional>
#include <string>

#include "tracehold/course/course.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// For the clinician at review: did the sessions happen, what changed beyond measurement error, what to ask; then measure by measure,
// week by week, what was left out and why, limits and cautions.
// rules: the file of a service's own table; none: the table of the program.
struct RulesFile {
    std::string name, sha256;  // "" = not told
};
Report compose_course_report(const Course& course, const Figure* first_and_last = nullptr, const std::optional<RulesFile>& rules = {});

}  // namespace tracehold
