#pragma once
// The verb of this room.
#include <chrono>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/course/course.hpp"
#include "tracehold/course/rules.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold {

struct CourseSettings {
    std::optional<std::vector<Rule>> rules;      // empty: default_rules()
    std::optional<std::chrono::sys_days> today;  // later dates are impossible; without it those far ahead of the rest
    // Weeks after the last session count as missed up to the end of the plan's dose.weeks, but not beyond this day. Empty:
    // not beyond today, and only where the plan asks for it (dose.count_all_weeks).
    std::optional<std::chrono::sys_days> count_until{};
    // The first day that is counted of weeks that one of `before` began; empty: that of the first training session.
    std::optional<std::chrono::sys_days> count_from{};
    std::vector<SessionScore> before{};  // earlier sessions of the person, which are told of nowhere: weeks of a plan may run from them
    // Days with a value below which nothing is said of a change. Our choice: the smallest p that 5 days can give,
    // 0.017, does not survive the account for four measures.
    std::size_t min_days = 6;
    std::vector<LeftOut> refused{};  // inputs that could not be read or scored, to be named with the course
};

// In: scores of one person in any order. Out: see Course; the same for any order of scores of different content.
// Notes: unsafe comparisons and repairs (posture_not_stated, person_not_stated, plan_changed, same_samples, ...).
// Edges: no scores, or none with a date: no phases, adherence empty, all named in left_out; all rejected: phases
// without measures. Errors: bad_setting where the scores name two persons.
Course chart_course(std::span<const SessionScore> scores, const CourseSettings& settings = {});

// The persons named, sorted; "" stands for recordings that name nobody and comes first.
std::vector<std::string> people_of(std::span<const SessionScore> scores);

// The scores of one person. Errors: bad_setting where there is none; it lists the codes that are there unless identities
// are hidden, and suggests none, because the nearest one is another person.
std::vector<SessionScore> select_person(std::span<const SessionScore> scores, std::string_view person);

}  // namespace tracehold
