#pragma once
// The verb of this room.
#include <chrono>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "tracehold/audit/audit.hpp"
#include "tracehold/audit/audit_tally.hpp"
#include "tracehold/course/course.hpp"

namespace tracehold {

// As CourseSettings::count_until, count_from and before: who stopped coming is to be seen.
struct CountedWeeks {
    std::optional<std::chrono::sys_days> until, from;
    std::vector<SessionScore> before;
};

// Makes one person's course: chart_course with the caller's settings and these, so that an audit says of each person what
// her course says. Called once a person; rules are not needed (an empty table saves time).
using ChartPerson = std::function<Course(std::span<const SessionScore>, const CountedWeeks&)>;

// In: any number of results; chart is called with scores of one person, as AuditTally::score_of makes them.
// Out: see Audit. Edges: nothing added: counts of 0, no shares, each with its reason.
// Notes: other_program_version, weeks_not_stated, review_before_first, people_in_several_groups, groups_not_stated, groups_pooled,
// list_not_matched, anonymous_results, recordings_of_several_people, same_samples, month_table_left_out, intervals_left_out.
// Errors: wrong_use (min_cell below 2 for others, a period that ends before it starts, a target that cannot be).
// What check_audit_settings refuses is refused before the first course is made.
Audit audit_service(const AuditTally& tally, const AuditSettings& settings, const ChartPerson& chart);

// Errors: those of audit_service.
void check_audit_settings(const AuditSettings& settings);

}  // namespace tracehold
