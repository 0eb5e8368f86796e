// Tidy CSV: one row a phase, session and measure, so that any table program can group, filter and draw.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "exchange/course_measure.hpp"
#include "exchange/csv_cell.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/write_course.hpp"

namespace tracehold {
namespace {

constexpr std::string_view kSessionsSchema = "tracehold.course_sessions/1", kWeeksSchema = "tracehold.course_weeks/1";

// The cells that all rows of a phase share, with the comma after them.
std::string phase_cells(const Course& course, const Phase& phase, std::size_t index) {
    return fmt::format("{},{},{},{},{},{},{},{},{},", kSessionsSchema, csv_text_cell(course.person), index,
                       to_string(phase.purpose), csv_text_cell(phase.posture), csv_text_cell(phase.channel),
                       to_string(phase.kind), to_string(phase.contraction),
                       phase.step ? std::to_string(*phase.step + 1) : "");
}

std::string session_cells(const CourseSession& session, std::size_t index) {
    return fmt::format("{},{},{},", index, date_text({session.day, std::nullopt}), csv_text_cell(session.source));
}

std::string_view ucum_of(const MeasureChange& change) {
    const CourseMeasure* measure = find_course_measure(change.key);
    return measure != nullptr ? measure->ucum : std::string_view(change.unit);
}

std::string value_cells(const MeasureChange& change, const CourseSession& session, std::size_t index) {
    const auto found = std::lower_bound(change.points.begin(), change.points.end(), index,
                                        [](const CoursePoint& point, std::size_t wanted) { return point.session < wanted; });
    const bool known = found != change.points.end() && found->session == index && std::isfinite(found->value);
    const std::string_view reason = known            ? ""
                                    : session.usable ? "no value in this session"
                                                     : "the signal was not usable";
    return fmt::format("{},{},{},{}\n", change.key, known ? number_text(found->value) : "", ucum_of(change), reason);
}

std::string phase_rows(const Course& course, std::size_t phase_index) {
    const Phase& phase = course.phases[phase_index];
    const std::string shared = phase_cells(course, phase, phase_index + 1);
    std::string rows;
    for (std::size_t i = 0; i < phase.sessions.size(); ++i) {
        const std::string session = shared + session_cells(phase.sessions[i], i + 1);
        for (const MeasureChange& change : phase.measures) rows += session + value_cells(change, phase.sessions[i], i);
    }
    return rows;
}

std::string number_or_nothing(const std::optional<double>& value) { return value ? number_text(*value) : ""; }

using DaySeen = std::optional<std::chrono::sys_days>;

// last: the latest day with a session so far; comes out as that of the end of the week.
std::optional<long> longest_gap(const CourseWeek& week, DaySeen& last) {
    std::optional<long> longest;
    for (std::size_t i = 0; i < week.days.size(); ++i) {
        if (week.days[i] == 0) continue;
        const std::chrono::sys_days day = week.monday + std::chrono::days{static_cast<int>(i)};
        if (week.days[i] > 1) longest = std::max(longest.value_or(0L), 0L);
        if (last) longest = std::max<long>(longest.value_or(0L), (day - *last).count());
        last = day;
    }
    return longest;
}

}  // namespace

std::string course_weeks_csv_header() {
    return "schema,person,iso_year,iso_week,monday,planned_sessions,sessions,planned_contractions,contractions,counting,longest_gap_days,sessions_after_plan\n";
}

std::string course_weeks_csv_rows(const Course& course) {
    std::string rows;
    DaySeen last;
    for (const CourseWeek& week : course.adherence.weeks) {
        const auto gap = longest_gap(week, last);
        rows += fmt::format("{},{},{},{},{},{},{},{},{},{},{},{}\n", kWeeksSchema, csv_text_cell(course.person), week.iso_year, week.iso_week,
                            date_text({week.monday, std::nullopt}), number_or_nothing(week.planned_sessions), week.sessions,
                            number_or_nothing(week.planned_contractions), week.contractions, week.counting, gap ? std::to_string(*gap) : "", week.after_plan.sessions);
    }
    return rows;
}

std::string course_csv_header() {
    return "schema,person,phase,purpose,posture,channel,kind,contraction,step,session,date,file,measure,value,unit,"
           "reason\n";
}

std::string course_csv_rows(const Course& course) {
    std::string rows;
    for (std::size_t i = 0; i < course.phases.size(); ++i) rows += phase_rows(course, i);
    return rows;
}

}  // namespace tracehold
