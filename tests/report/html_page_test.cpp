#include <doctest/doctest.h>

#include <limits>
#include <set>
#include <string>

#include "report/html_text.hpp"
#include "report/page_style.hpp"
#include "support/hostile_texts.hpp"
#include "support/made_up_session.hpp"
#include "support/text_parts.hpp"
#include "tracehold/report/compose_session_report.hpp"
#include "tracehold/report/render_html.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::string html_of(const SessionScore& score) {
    const Envelope envelope = test::made_up_envelope(test::made_up_session());
    return render_html(compose_session_report(score, &envelope));
}

Report of_block(Block block) { return {"Title", {{"Heading", {std::move(block)}}}}; }

// What stands between quotes after each of these.
std::multiset<std::string> values_of(const std::string& page, const std::string& attribute) {
    std::multiset<std::string> values;
    for (std::size_t at = page.find(attribute); at != std::string::npos; at = page.find(attribute, at + 1)) {
        const std::size_t begin = at + attribute.size();
        values.insert(page.substr(begin, page.find('"', begin) - begin));
    }
    return values;
}

}  // namespace

TEST_CASE("the page allows its own style block and nothing else") {
    const std::string page = html_of(test::made_up_session());
    const std::size_t begin = page.find("<style>") + 7, end = page.find("</style>");
    const std::string policy = "default-src &#39;none&#39;";
    CHECK(page.find("default-src 'none'; style-src '" + policy_hash(page.substr(begin, end - begin)) +
                    "'; base-uri 'none'; form-action 'none'") != std::string::npos);
    CHECK(page.find(policy) == std::string::npos);
    CHECK(page.find("Content-Security-Policy") < page.find("<title>"));
    CHECK(count_of(page, "<style") == 1);
    for (const char* forbidden : {"<script", " style=", "src=", "http://", "https://", "@import", "javascript:"}) {
        CAPTURE(forbidden);
        CHECK(page.find(forbidden) == std::string::npos);
    }
}

TEST_CASE("whatever the texts hold the page keeps its elements") {
    const std::string plain = html_of(test::with_all_texts(test::made_up_session(), "x"));
    for (const std::string& text : test::hostile_texts()) {
        CAPTURE(text);
        const std::string page = html_of(test::with_all_texts(test::made_up_session(), text));
        CHECK(count_of(page, "<") == count_of(plain, "<"));
        CHECK(count_of(page, "<script") == 0);
    }
}

TEST_CASE("ids occur once and every link leads to one") {
    const std::string page = html_of(test::made_up_session());
    const auto ids = values_of(page, " id=\"");
    for (const std::string& id : ids) CHECK(ids.count(id) == 1);
    for (const std::string& link : values_of(page, " href=\"#")) CHECK(ids.count(link) == 1);
    CHECK(values_of(page, " href=\"#").size() > 10);
    for (const std::string& names : values_of(page, "aria-labelledby=\"")) {
        const std::size_t blank = names.find(' ');
        CHECK(ids.count(names.substr(0, blank)) == 1);
        CHECK(ids.count(names.substr(blank + 1)) == 1);
    }
}

TEST_CASE("an anchor without a definition is no link and one defined twice has one id") {
    ReportTable table;
    table.columns = {{"Known", true, "a"}, {"Unknown", true, "b"}};
    Report report = of_block(table);
    report.sections[0].blocks.push_back(Definitions{{{"a", "A", "", "one", "", ""}, {"a", "A", "", "two", "", ""}}});
    const std::string page = render_html(report);
    CHECK(page.find("<a href=\"#def-a\">Known</a>") != std::string::npos);
    CHECK(page.find("href=\"#def-b\"") == std::string::npos);
    CHECK(count_of(page, "id=\"def-a\"") == 1);
}

TEST_CASE("a dash is told in words to those who hear the page") {
    ReportTable table;
    table.columns = {{"Measure"}, {"Mean", true}};
    table.rows = {{{"Release"}, {"–", 1}}};
    table.notes = {"not released in the rest"};
    const std::string page = render_html(of_block(table));
    CHECK(page.find("<span aria-hidden=\"true\">–</span><span class=\"vh\">not given</span><sup>1</sup>") !=
          std::string::npos);
    CHECK(page.find("<li>not released in the rest</li>") != std::string::npos);
}

TEST_CASE("headings go down one step at a time") {
    const std::string page = html_of(test::made_up_session());
    int before = 0;
    for (std::size_t at = page.find("<h"); at != std::string::npos; at = page.find("<h", at + 1)) {
        const int level = page[at + 2] - '0';
        if (level < 1 || level > 6) continue;
        CHECK(level <= before + 1);
        before = level;
    }
    CHECK(count_of(page, "<h1>") == 1);
}

TEST_CASE("serious statements carry a sign of their own shape") {
    const std::string page = render_html(of_block(Paragraph{"mind this", Tone::caution}));
    const std::string grave = render_html(of_block(Paragraph{"mind this", Tone::reject}));
    CHECK(count_of(page, "class=\"sign\"") == 1);
    CHECK(page.substr(page.find("class=\"sign\"")) != grave.substr(grave.find("class=\"sign\"")));
    CHECK(count_of(render_html(of_block(Paragraph{"mind this"})), "class=\"sign\"") == 0);
}

TEST_CASE("blocks without content leave nothing behind") {
    const std::size_t bare = count_of(render_html({"Title", {{"Heading", {}}}}), "<");
    for (const Block& block : {Block{List{}}, Block{Facts{}}, Block{Answers{}}, Block{ReportTable{}},
                               Block{Definitions{}}, Block{Paragraph{}}, Block{Calendar{}}}) {
        CHECK(count_of(render_html(of_block(block)), "<") == bare);
    }
}

TEST_CASE("a session without contractions gives an honest page without a chart") {
    Envelope blank;
    blank.rate = Hertz{100.0};
    blank.uv.assign(500, std::numeric_limits<float>::quiet_NaN());
    const std::string page = render_html(compose_session_report(test::made_up_empty_session(), &blank));
    CHECK(count_of(page, "role=\"img\"") == 0);
    for (const char* number : {"NaN", ">nan", " nan", "\"nan", "inf<"}) CHECK(count_of(page, number) == 0);
}

TEST_CASE("the same report gives the same bytes and its language") {
    Report report = of_block(Paragraph{"Absatz"});
    report.language = "de";
    CHECK(render_html(report) == render_html(report));
    CHECK(render_html(report).find("<html lang=\"de\">") != std::string::npos);
    CHECK(render_html(report).find("Zum Inhalt springen") != std::string::npos);
    report.language = "\"><script>";
    CHECK(render_html(report).find("<html lang=\"en\">") != std::string::npos);
}

TEST_CASE("a calendar tells sessions by number and leaves days outside the course blank") {
    CalendarWeek week;
    week.monday = std::chrono::year{2026} / 3 / 2;
    week.sessions = {std::nullopt, 0, 1, 2, 3, 0, 0};
    week.done = 6;
    week.planned = 8.0;
    const std::string page = render_html(of_block(Calendar{"Days", "Sessions", {week}}));
    CHECK(page.find("<th scope=\"row\">2 Mar 2026</th><td class=\"day\"></td><td class=\"day d0\">") !=
          std::string::npos);
    CHECK(page.find("<td class=\"day d2\"><span>3</span></td>") != std::string::npos);
    CHECK(page.find("6 / 8<svg") != std::string::npos);
    CHECK(page.find("width=\"75%\"") != std::string::npos);
}
