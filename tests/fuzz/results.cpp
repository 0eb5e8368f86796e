// Results of earlier runs: read, written and read again as the same; charted and drawn without harm.
#include <algorithm>

#include "fuzz/promise.hpp"
#include "fuzz/targets.hpp"
#include "tracehold/core/utf8.hpp"
#include "tracehold/course/chart_course.hpp"
#include "tracehold/exchange/result_splitter.hpp"
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

std::vector<ResultText> split(std::string_view bytes, std::size_t piece) {
    ResultSplitter splitter;
    std::vector<ResultText> out;
    for (std::size_t at = 0; at < bytes.size(); at += piece) splitter.take(bytes.substr(at, piece), out);
    splitter.finish(out);
    return out;
}

}  // namespace

void run_results(std::string_view bytes) {
    read_or_refuse(kSource, [&] { return read_session_results(bytes, kSource); },
                   [](const std::vector<SessionScore>& scores) {
                       for (const SessionScore& score : scores) check_score(score);
                       if (scores.size() <= 20) check_course(scores);
                   });
}

void run_pieces(std::string_view bytes) {
    const std::vector<ResultText> at_once = split(bytes, bytes.size() + 1);
    for (const std::size_t piece : {1, 7, 1000}) {
        const std::vector<ResultText> again = split(bytes, piece);
        require(again.size() == at_once.size(), "pieces make as many results as the whole");
        for (std::size_t i = 0; i < again.size(); ++i) {
            require_equal(again[i].text, at_once[i].text, "pieces make the texts of the whole");
            require(again[i].line == at_once[i].line && again[i].whole == at_once[i].whole, "pieces make the lines of the whole");
        }
    }
    std::size_t line = 1;
    for (const ResultText& text : at_once) {
        require(text.line >= line, "lines go forward");
        line = text.line;
    }
    read_or_refuse(kSource, [&] { return read_session_results(bytes, kSource); },
                   [&](const std::vector<SessionScore>& scores) {
                       // A brace that begins a line within a result cuts it, as no writer of results would set it.
                       if (!std::all_of(at_once.begin(), at_once.end(), [](const ResultText& text) { return text.whole; })) return;
                       require(scores.size() == at_once.size(), "what is read whole is split into as many");
                       for (std::size_t i = 0; i < scores.size(); ++i) {
                           require_equal(session_json(read_session_json(at_once[i].text, kSource), 0), session_json(scores[i], 0),
                                         "a result split off is the one that is read");
                       }
                   });
}

}  // namespace tracehold::fuzz
