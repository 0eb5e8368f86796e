#include <doctest/doctest.h>

#include <algorithm>
#include <limits>
#include <sstream>

#include "report/text_picture.hpp"
#include "report/text_table.hpp"
#include "report/text_width.hpp"
#include "report/wrap_text.hpp"
#include "support/hostile_texts.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"
#include "tracehold/report/render.hpp"

using namespace tracehold;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) lines.push_back(line);
    return lines;
}

std::size_t widest(const std::vector<std::string>& lines) {
    std::size_t width = 0;
    for (const std::string& line : lines) width = std::max(width, text_columns(line));
    return width;
}

// One of every block, all its texts the same.
Report report_of(const std::string& text) {
    TraceFigure figure;
    figure.title = figure.description = figure.y_unit = text;
    figure.step_s = 0.5;
    figure.y = {1.0f, 5.0f, 2.0f};
    figure.key_values = {{text, text}};
    const ReportTable table{
        text, {{text}, {text, true}, {"n", true}}, {{Cell(text, 1), Cell(text), Cell("1")}}, {text}};
    return {text,
            {{text,
              {Paragraph{text, Tone::caution}, List{{text, text}}, Facts{{{text, text}}},
               Answers{{{text, text, Tone::reject, {{text}}}}}, table, figure,
               Definitions{{{text, text, text, text, text, text}}}}}}};
}

}  // namespace

TEST_CASE("what is only drawn leaves no heading in text") {
    Report report{"A page", {}, "en"};
    report.sections.push_back({"Only drawn", {Figure{"A figure"}}});
    report.sections.push_back({"Told too", {Figure{"A figure"}, Paragraph{"In words."}}});
    CHECK(render_text(report).find("Only drawn") == std::string::npos);
    CHECK(render_text(report).find("Told too") != std::string::npos);
}

TEST_CASE("wide characters take two columns and marks on others none") {
    CHECK_EQ(text_columns("µV ±"), 4);
    CHECK_EQ(text_columns("\xE5\xB1\xB1\xE7\x94\xB0"), 4);          // two Chinese characters
    CHECK_EQ(text_columns("\xED\x95\x9C"), 2);                        // a Korean syllable
    CHECK_EQ(text_columns("\xF0\x9F\x99\x82"), 2);                    // a picture
    CHECK_EQ(text_columns("e\xCC\x81"), 1);                            // a letter and its accent
    CHECK_EQ(flush_left("\xE5\xB1\xB1", 4), "\xE5\xB1\xB1  ");
    CHECK_EQ(wrapped("\xE5\xB1\xB1\xE7\x94\xB0\xE5\xB1\xB1", 5), std::vector<std::string>{"\xE5\xB1\xB1\xE7\x94\xB0", "\xE5\xB1\xB1"});
    CHECK_EQ(wrapped("\xE5\xB1\xB1\xE7\x94\xB0", 1), std::vector<std::string>{"\xE5\xB1\xB1", "\xE7\x94\xB0"});  // never nothing
}

TEST_CASE("words are kept whole and lines filled") {
    CHECK_EQ(wrapped("the quick brown fox", 10), std::vector<std::string>{"the quick", "brown fox"});
    CHECK_EQ(wrapped("  two   blanks  ", 20), std::vector<std::string>{"two blanks"});
    CHECK_EQ(wrapped("", 5), std::vector<std::string>{""});
}

TEST_CASE("width is counted in characters and not in bytes") {
    CHECK_EQ(wrapped("µV µV µV", 5), std::vector<std::string>{"µV µV", "µV"});
    CHECK_EQ(utf8_count(flush_right("µV", 6)), 6);
}

TEST_CASE("a word longer than the line is cut between characters") {
    CHECK_EQ(wrapped("µµµµµ", 2), std::vector<std::string>{"µµ", "µµ", "µ"});
    CHECK_EQ(wrapped("a bbbbbb", 3), std::vector<std::string>{"a", "bbb", "bbb"});
}

TEST_CASE("numbers stand flush right under their titles and words flush left") {
    const ReportTable table{
        "", {{"Kind"}, {"Mean µV", true}}, {{Cell("hold"), Cell("9.5")}, {Cell("rapid"), Cell("12.25")}}, {}};
    const auto lines = table_lines(table, 80);
    REQUIRE_EQ(lines.size(), 4);
    CHECK_EQ(lines[0], "Kind   Mean µV");
    CHECK_EQ(lines[2], "hold       9.5");
    CHECK_EQ(lines[3], "rapid    12.25");
}

TEST_CASE("titles are wrapped before a table grows too wide and stand on the rule") {
    const ReportTable table{"", {{"No", true}, {"Time to hold s", true}}, {{Cell("1"), Cell("0.84")}}, {}};
    const auto lines = table_lines(table, 12);
    CHECK_EQ(lines[0], "    Time to");
    CHECK_EQ(lines[1], "No   hold s");
    CHECK_EQ(widest(lines), 11);
}

TEST_CASE("a table too wide for any layout becomes a list with every cell in it") {
    ReportTable table{"", {}, {{}}, {}};
    for (int i = 0; i < 30; ++i) {
        table.columns.push_back({"title" + std::to_string(i), true});
        table.rows[0].push_back(Cell("1234.5" + std::to_string(i)));
    }
    const auto lines = table_lines(table, 80);
    CHECK_EQ(lines.size(), 30);
    CHECK_EQ(lines[29], "title29: 1234.529");
    CHECK_LE(widest(lines), 80);
}

TEST_CASE("notes are numbered beside their cells") {
    CHECK_EQ(superscript(1), "¹");
    CHECK_EQ(superscript(120), "¹²⁰");
    const Report report{"T", {{"", {ReportTable{"", {{"a", true}}, {{Cell("–", 1)}}, {"because"}}}}}};
    const std::string text = render_text(report);
    CHECK_NE(text.find("–¹\n¹ because\n"), std::string::npos);
}

TEST_CASE("no line is wider than asked whatever the texts hold") {
    for (const std::string& hostile : test::hostile_texts()) {
        for (const int columns : {40, 80, 120}) {
            CAPTURE(shown(hostile, 40));
            const auto lines =
                lines_of(render_text(report_of(hostile), {.columns = columns, .pictures = true, .color = false}));
            CHECK_LE(widest(lines), static_cast<std::size_t>(columns));
        }
    }
}

TEST_CASE("no control or bidi character reaches a terminal") {
    for (const std::string& hostile : test::hostile_texts()) {
        for (const std::string& line :
             lines_of(render_text(report_of(hostile), {.columns = 80, .pictures = true, .color = false}))) {
            CAPTURE(shown(hostile, 40));
            REQUIRE_EQ(shown(line, 1000), line);
        }
    }
}

TEST_CASE("colour is for severities only and never inside a width") {
    const Report report{"T", {{"", {Paragraph{"plain words"}, Paragraph{"careful words", Tone::caution}}}}};
    const std::string text = render_text(report, {.columns = 80, .pictures = false, .color = true});
    CHECK_NE(text.find("\x1b[33mcareful words\x1b[0m"), std::string::npos);
    CHECK_NE(text.find("\nplain words\n"), std::string::npos);
    CHECK_EQ(render_text(report).find('\x1b'), std::string::npos);
}

TEST_CASE("the axis of a picture ends at a round number at or above the highest value") {
    CHECK_EQ(round_ceiling(23.4), 25.0);
    CHECK_EQ(round_ceiling(25.0), 25.0);
    CHECK_EQ(round_ceiling(0.011), doctest::Approx(0.015));
    CHECK_EQ(round_ceiling(850.0), 1000.0);
    CHECK_EQ(round_ceiling(0.0), 1.0);
}

TEST_CASE("a picture shows a full column where the value is highest and an empty one where it is zero") {
    TraceFigure figure;
    figure.step_s = 1.0;
    figure.y = {0.0f, 10.0f};
    const auto lines = picture_lines(figure, 10);
    REQUIRE_EQ(lines.size(), 9);
    for (std::size_t row = 0; row < 8; ++row) {
        CAPTURE(row);
        CHECK_EQ(utf8_count(lines[row]), 10);
        CHECK(lines[row].ends_with(" █"));
    }
}

TEST_CASE("a picture keeps the shortest peak and the shortest work window") {
    TraceFigure figure;
    figure.step_s = 0.1;
    figure.y.assign(6000, 1.0f);
    figure.y[4321] = 40.0f;
    figure.work = {{100.0, 100.2}};
    const auto lines = picture_lines(figure, 80);
    CHECK_NE(lines[0].find("█"), std::string::npos);
    CHECK_NE(lines[8].find("▀"), std::string::npos);
    CHECK_LE(widest(lines), 80);
}

TEST_CASE("a figure without a valid value is told in words") {
    TraceFigure figure;
    figure.step_s = 1.0;
    figure.y = {std::numeric_limits<float>::quiet_NaN()};
    figure.description = "nothing to see";
    CHECK(picture_lines(figure, 80).empty());
    const std::string text = render_text({"T", {{"", {figure}}}}, {.columns = 80, .pictures = true, .color = false});
    CHECK_NE(text.find("nothing to see"), std::string::npos);
}
