// Whole outputs of a session whose every text is hostile: the same markup as with plain texts, and nothing that a
// terminal, a browser or a spreadsheet would obey.
#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "support/hostile_texts.hpp"
#include "support/made_up_session.hpp"
#include "support/plain_readers.hpp"
#include "tracehold/report/compose_session_report.hpp"
#include "tracehold/report/render_html.hpp"

using namespace tracehold;

namespace {

Report report_of(const std::string& text) {
    const SessionScore score = test::with_all_texts(test::made_up_session(), text);
    const Envelope envelope = test::made_up_envelope(score);
    return compose_session_report(score, &envelope);
}

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

TEST_CASE("hostile texts change no tag of a page") {
    const auto plain = tags_of(render_html(report_of("word")));
    REQUIRE(plain.size() > 100);
    for (std::string text : test::made_hostile_texts(40, 9)) {
        text = "w" + text;  // an empty text is a case of its own
        CAPTURE(text);
        const std::string page = render_html(report_of(text));
        CHECK(tags_of(page) == plain);
        CHECK_FALSE(test::has_control(without_line_ends(page)));
    }
}

TEST_CASE("hostile texts bring no control character into text or Markdown") {
    for (const std::string& text : test::made_hostile_texts(60, 10)) {
        CAPTURE(text);
        CHECK_FALSE(test::has_control(without_line_ends(render_text(report_of(text)))));
        CHECK_FALSE(test::has_control(without_line_ends(render_markdown(report_of(text)))));
    }
}
