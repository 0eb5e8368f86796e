// Every page with every text hostile: the same markup as with plain texts, and nothing that a terminal, a browser or a
// spreadsheet would obey.
#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "audit/made_service.hpp"
#include "support/hostile_texts.hpp"
#include "support/made_up_course.hpp"
#include "support/made_up_session.hpp"
#include "support/plain_readers.hpp"
#include "tracehold/report/compose_audit_report.hpp"
#include "tracehold/report/compose_course_report.hpp"
#include "tracehold/report/compose_home_sheet.hpp"
#include "tracehold/report/compose_patient_report.hpp"
#include "tracehold/report/compose_referrer_report.hpp"
#include "tracehold/report/compose_session_report.hpp"
#include "tracehold/report/render_html.hpp"

using namespace tracehold;

namespace {

using Composer = Report (*)(const std::string& text);

Report of_session(const std::string& text) {
    const SessionScore score = test::with_all_texts(test::made_up_session(), text);
    const Envelope envelope = test::made_up_envelope(score);
    return compose_session_report(score, &envelope);
}

Report of_course(const std::string& text) {
    return compose_course_report(test::with_all_texts(test::made_up_course(), text));
}

Report of_audit(const std::string& text) {
    AuditTally tally;
    for (int i = 0; i < 6; ++i) {
        test::MadePerson person{.code = std::to_string(i), .site = text, .group = text};
        test::add_person(tally, person);
    }
    return compose_audit_report(audit_service(tally, {.by = Grouping::site}, test::chart_person));
}

SessionScore session_with(const std::string& text) { return test::with_all_texts(test::made_up_session(), text); }
Course course_with(const std::string& text) { return test::with_all_texts(test::made_up_course(), text); }

const std::vector<std::pair<std::string, Composer>> kPages = {
    {"session", of_session},
    {"course", of_course},
    {"audit", of_audit},
    {"patient's session", [](const std::string& text) { return compose_patient_report(session_with(text)); }},
    {"patient's course", [](const std::string& text) { return compose_patient_report(course_with(text)); }},
    {"referrer's session", [](const std::string& text) { return compose_referrer_report(session_with(text)); }},
    {"referrer's course", [](const std::string& text) { return compose_referrer_report(course_with(text)); }},
    {"home sheet", [](const std::string& text) { return compose_home_sheet(*session_with(text).plan); }},
};

// Names of tags in their order, of HTML and SVG alike, with the number of their quotes: attributes cannot grow.
std::vector<std::string> tags_of(const std::string& html) {
    std::vector<std::string> tags;
    for (std::size_t at = html.find('<'); at != std::string::npos; at = html.find('<', at + 1)) {
        const std::size_t end = html.find('>', at);
        if (end == std::string::npos) return {"unclosed"};
        const std::string tag = html.substr(at, end - at);
        tags.push_back(tag.substr(0, tag.find_first_of(" >\n")) + " " + std::to_string(std::count(tag.begin(), tag.end(), '"')));
    }
    return tags;
}

std::string without_line_ends(std::string text) {
    std::erase(text, '\n');
    return text;
}

}  // namespace

TEST_CASE("hostile texts change no tag of any page") {
    for (const auto& [name, compose] : kPages) {
        CAPTURE(name);
        const std::string harmless = render_html(compose("word"));
        REQUIRE(harmless.find("word") != std::string::npos);
        const auto plain = tags_of(harmless);
        REQUIRE(plain.size() > 50);
        for (std::string text : test::made_hostile_texts(40, 9)) {
            text = "w" + text;  // an empty text is a case of its own
            CAPTURE(text);
            const std::string page = render_html(compose(text));
            CHECK(tags_of(page) == plain);
            CHECK_FALSE(test::has_control(without_line_ends(page)));
        }
    }
}

TEST_CASE("hostile texts bring no control character into text or Markdown of any page") {
    for (const auto& [name, compose] : kPages) {
        CAPTURE(name);
        for (const std::string& text : test::made_hostile_texts(60, 10)) {
            CAPTURE(text);
            CHECK_FALSE(test::has_control(without_line_ends(render_text(compose(text)))));
            CHECK_FALSE(test::has_control(without_line_ends(render_markdown(compose(text)))));
        }
    }
}
