// Results of earlier runs: read, written and read again as the same; charted and drawn without harm.
#include "fuzz/promise.hpp"
#include "fuzz/targets.hpp"
#include "tracehold/core/utf8.hpp"
#include "tracehold/course/chart_course.hpp"
#include "tracehold/exchange/write_course.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/report/compose_course_report.hpp"
#include "tracehold/report/compose_session_report.hpp"
#include "tracehold/report/render_html.hpp"

namespace tracehold::fuzz {
namespace {

void check_score(const SessionScore& score) {
    const std::string once = session_json(score, 0);
    require(is_utf8(once), "JSON is UTF-8");
    const SessionScore again = read_session_json(once, kSource);
    require_equal(session_json(again, 0), once, "a result written, read and written again is the same");
    require(is_utf8(session_csv_rows(score)), "CSV is UTF-8");
    require(is_utf8(render_html(compose_session_report(score, nullptr))), "a page is UTF-8");
    require(is_utf8(render_text(compose_session_report(score, nullptr))), "text is UTF-8");
}

void check_course(const std::vector<SessionScore>& scores) {
    for (const std::string& person : people_of(scores)) {
        const Course course = chart_course(select_person(scores, person));
        require(is_utf8(course_json(course, 0)), "JSON is UTF-8");
        require(is_utf8(render_html(compose_course_report(course))), "a page is UTF-8");
    }
}

}  // namespace

void run_results(std::string_view bytes) {
    read_or_refuse(kSource, [&] { return read_session_results(bytes, kSource); },
                   [](const std::vector<SessionScore>& scores) {
                       for (const SessionScore& score : scores) check_score(score);
                       if (scores.size() <= 20) check_course(scores);
                   });
}

}  // namespace tracehold::fuzz
