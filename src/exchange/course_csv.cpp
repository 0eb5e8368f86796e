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

constexpr std::string_view kCsvSchema = "tracehold.course_sessions/1";

// The cells that all rows of a phase share, with the comma after them.
std::string phase_cells(const Course& course, const Phase& phase, std::size_t index) {
    return fmt::format("{},{},{},{},{},{},{},{},{},", kCsvSchema, csv_text_cell(course.person), index,
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
    const auto found = std::find_if(change.points.begin(), change.points.end(),
                                    [&](const CoursePoint& point) { return point.session == index; });
    const bool known = found != change.points.end() && std::isfinite(found->value);
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

}  // namespace

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
