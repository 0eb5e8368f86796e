#include "report/course_parts.hpp"

#include <algorithm>
#include <set>
#include <utility>

namespace tracehold {

std::vector<const Phase*> told_phases(const Course& course) {
    std::vector<const Phase*> told;
    for (const Phase& phase : course.phases) {
        if (phase.purpose != PlanPurpose::training || phase.sessions.empty()) continue;
        const auto same = std::find_if(told.begin(), told.end(), [&](const Phase* other) {
            return other->posture == phase.posture && other->contraction == phase.contraction;
        });
        if (same == told.end())
            told.push_back(&phase);
        else if (phase.sessions.back().day >= (*same)->sessions.back().day)
            *same = &phase;
    }
    return told;
}

std::vector<const MeasureChange*> tested_changes(const Phase& phase) {
    std::vector<const MeasureChange*> changes;
    for (const MeasureChange& change : phase.measures) {
        if (change.primary && change.statement) changes.push_back(&change);
    }
    return changes;
}

std::vector<const MeasureChange*> primary_measures(const Phase& phase) {
    std::vector<const MeasureChange*> found;
    for (const MeasureChange& change : phase.measures) {
        if (change.primary) found.push_back(&change);
    }
    return found;
}

int mean_decimals(std::string_view unit) { return unit == "%" ? 0 : unit == "s" ? 2 : 1; }

bool is_enough(const MeasureChange& change) { return change.statement && *change.statement != Statement::not_enough; }

std::string day_text(std::chrono::sys_days day) { return date_text(CivilTime{day, {}}); }

Assessments assessments_in(const Course& course) {
    std::set<std::size_t> all, usable;  // one stands in a phase for each of its steps
    for (const Phase& phase : course.phases) {
        if (phase.purpose != PlanPurpose::assessment) continue;
        for (const CourseSession& session : phase.sessions) {
            all.insert(session.score);
            if (session.usable) usable.insert(session.score);
        }
    }
    return {all.size(), usable.size()};
}

namespace {
constexpr long kAWeek_days = 7;         // our choice: what falls within a week is no end
}

bool plan_goes_on(const Adherence& seen) {
    return seen.prescribed && (seen.prescribed->last_day - seen.prescribed->last_recording).count() >= kAWeek_days;
}

bool fell_silent(const Adherence& seen) { return seen.prescribed && seen.prescribed->silent_days >= kAWeek_days; }

std::vector<const CourseSession*> sessions_of(const Course& course) {
    std::vector<const CourseSession*> sessions;
    std::set<std::size_t> named;
    for (const Phase& phase : course.phases) {
        for (const CourseSession& session : phase.sessions) {
            if (named.insert(session.score).second) sessions.push_back(&session);
        }
    }
    std::sort(sessions.begin(), sessions.end(), [](const CourseSession* a, const CourseSession* b) {
        return std::pair(a->since_first_days, a->score) < std::pair(b->since_first_days, b->score);
    });
    return sessions;
}

std::size_t corrected_sessions(const Course& course) {
    const auto sessions = sessions_of(course);
    return static_cast<std::size_t>(std::count_if(sessions.begin(), sessions.end(),
                                                  [](const CourseSession* each) { return !each->corrections.empty(); }));
}

bool none_has_a_day(const Course& course) {
    return course.used + course.rejected == 0 && course.adherence.without_day() > 0 && course.adherence.other_plans == 0;
}

bool all_of_other_plans(const Course& course) { return course.found > 0 && course.adherence.other_plans == course.found; }

bool none_could_be_scored(const Course& course) { return course.used == 0 && course.rejected > 0; }

}  // namespace tracehold
