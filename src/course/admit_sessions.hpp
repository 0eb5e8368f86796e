#pragma once
// Which of the scores take part in a course, in order of time, and which do not and why.
#include <chrono>
#include <optional>
#include <span>
#include <vector>

#include "tracehold/course/course.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold {

struct AdmittedSessions {
    std::vector<const SessionScore*> scores;  // dated, each recording once, in order of time
    std::vector<std::size_t> index;           // of the same in what was handed in
    std::vector<LeftOut> left_out;
    std::size_t undated = 0, impossible_dates = 0, other_plans = 0;  // of left_out
    std::optional<std::chrono::sys_days> last_other_plan;            // the latest day of those
};

// In: scores in any order; they must outlive the result.
AdmittedSessions admit_sessions(std::span<const SessionScore> scores, std::optional<std::chrono::sys_days> today);

// By the clock of the place. In: a score with a start.
std::chrono::sys_days day_of(const SessionScore& score);

}  // namespace tracehold
