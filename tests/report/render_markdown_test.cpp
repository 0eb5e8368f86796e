#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>

#include "report/markdown_text.hpp"
#include "support/hostile_texts.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/report/render.hpp"

using namespace tracehold;

namespace {

// A character that stands unescaped: an even number of backslashes before it.
bool has_bare(const std::string& text, char wanted) {
    std::size_t backslashes = 0;
    for (const char c : text) {
        if (c == wanted && backslashes % 2 == 0) return true;
        backslashes = c == '\\' ? backslashes + 1 : 0;
    }
    return false;
}

// What a Markdown reader makes of it: each backslash before punctuation is dropped (CommonMark 0.31, 2.4).
std::string unescaped(const std::string& text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '\\' && i + 1 < text.size()) ++i;
        out += text[i];
    }
    return out;
}

}  // namespace

TEST_CASE("no markup survives the escaper") {
    for (const std::string& hostile : test::hostile_texts()) {
        CAPTURE(shown(hostile, 40));
        const std::string text = markdown_text(hostile);
        for (const char special : std::string("<>|*_`[]#~&!$")) {
            CAPTURE(special);
            CHECK_FALSE(has_bare(text, special));
        }
        CHECK_EQ(text.find('\n'), std::string::npos);
        CHECK_EQ(text.find("http://"), std::string::npos);
        CHECK_EQ(text.find("https://"), std::string::npos);
        CHECK_EQ(text.find("www."), std::string::npos);
    }
}

TEST_CASE("a reader of the Markdown sees the text as it was") {
    for (const std::string& hostile : test::hostile_texts()) {
        CAPTURE(shown(hostile, 40));
        std::string seen = shown(hostile, 10000);
        seen.erase(0, std::min(seen.find_first_not_of(' '), seen.size()));
        CHECK_EQ(unescaped(markdown_text(hostile)), seen);
    }
}

TEST_CASE("nothing at the front of a text starts a list or a rule") {
    CHECK_EQ(markdown_text("- item"), "\\- item");
    CHECK_EQ(markdown_text("12. item"), "12\\. item");
    CHECK_EQ(markdown_text("3) item"), "3\\) item");
    CHECK_EQ(markdown_text("==="), "\\===");
    CHECK_EQ(markdown_text("---"), "\\---");
    CHECK_EQ(markdown_text("-"), "\\-");
    CHECK_EQ(markdown_text("12."), "12\\.");
    CHECK_EQ(markdown_text("3.02"), "3.02");
    CHECK_EQ(markdown_text("-12"), "-12");
    CHECK_EQ(markdown_text("a - b 12. c"), "a - b 12. c");
}

TEST_CASE("every row of a table has as many bars as its head") {
    for (const std::string& hostile : test::hostile_texts()) {
        CAPTURE(shown(hostile, 40));
        const ReportTable table{hostile,
                                {{hostile}, {hostile, true}},
                                {{Cell(hostile, 1), Cell(hostile)}, {Cell(""), Cell("1")}},
                                {hostile}};
        const std::string text = render_markdown({"T", {{"", {table}}}});
        std::istringstream stream(text);
        std::size_t rows = 0;
        for (std::string line; std::getline(stream, line);) {
            if (line.empty() || line[0] != '|') continue;
            ++rows;
            std::size_t bars = 0, backslashes = 0;
            for (const char c : line) {
                bars += c == '|' && backslashes % 2 == 0 ? 1 : 0;
                backslashes = c == '\\' ? backslashes + 1 : 0;
            }
            REQUIRE_EQ(bars, 3);
        }
        CHECK_EQ(rows, 4);
    }
}

TEST_CASE("a figure becomes words and a table of what one would read off it") {
    TraceFigure figure;
    figure.description = "Up and down.";
    figure.key_values = {{"Highest", "40 µV"}};
    const std::string text = render_markdown({"T", {{"H", {figure}}}});
    CHECK_EQ(text, "# T\n\n## H\n\nUp and down.\n\n| | |\n|:--|:--|\n| Highest | 40 µV |\n");
}
