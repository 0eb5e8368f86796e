#include <doctest/doctest.h>

#include <sstream>

#include "exchange/csv_cell.hpp"
#include "exchange/csv_rows.hpp"
#include "support/golden.hpp"
#include "support/hostile_texts.hpp"
#include "support/made_up_session.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/measures/measure_list.hpp"

using namespace tracehold;
using test::rows_of;

TEST_CASE("golden: the CSV of a session") {
    CHECK_GOLDEN("session.csv", session_csv_header() + session_csv_rows(test::made_up_session()));
}

TEST_CASE("one row a contraction and measure with as many cells as the head") {
    const SessionScore score = test::made_up_session();
    const auto rows = rows_of(session_csv_header() + session_csv_rows(score));
    CHECK_EQ(rows.size(), 1 + score.cycles.size() * measure_list().size());
    for (const auto& row : rows) CHECK_EQ(row.size(), 15);
}

TEST_CASE("a value is a number in full and a missing one is empty with its reason") {
    SessionScore score = test::made_up_session();
    score.cycles[0].values[0] = Estimate::of(-1.0 / 3.0, 0.1);
    const auto rows = rows_of(session_csv_rows(score));
    CHECK_EQ(rows[0][10], "work_mean_uv");
    CHECK_EQ(rows[0][11], "-0.3333333333333333");  // a number may begin with '-': it is not touched
    CHECK_EQ(rows[0][12], "0.1");
    CHECK_EQ(rows[0][13], "uV");
    CHECK_EQ(rows[0][14], "");
    for (const auto& row : rows) {
        CHECK_NE(row[11].empty(), row[14].empty());
        if (!row[11].empty()) CHECK(parse_number(row[11]).has_value());
    }
}

TEST_CASE("a text that a spreadsheet would run is disarmed") {
    // The characters: OWASP ASVS 1.2.10 and CWE-1236; the full-width forms and leading blanks are our choice.
    CHECK_EQ(csv_text_cell("=SUM(A1:A9)"), "'=SUM(A1:A9)");
    CHECK_EQ(csv_text_cell("-1"), "'-1");
    CHECK_EQ(csv_text_cell("+1"), "'+1");
    CHECK_EQ(csv_text_cell("@x"), "'@x");
    CHECK_EQ(csv_text_cell("  =1"), "'  =1");
    CHECK_EQ(csv_text_cell("\t=1"), "'\\x09=1");
    CHECK_EQ(csv_text_cell(std::string("\0=1", 3)), "'\\x00=1");
    CHECK_EQ(csv_text_cell("＝1"), "'＝1");
    CHECK_EQ(csv_text_cell("a=1"), "a=1");
    CHECK_EQ(csv_text_cell(""), "");
}

TEST_CASE("commas and quotes are quoted and controls never stand raw") {
    CHECK_EQ(csv_text_cell("a,b"), "\"a,b\"");
    CHECK_EQ(csv_text_cell("say \"x\""), "\"say \"\"x\"\"\"");
    CHECK_EQ(csv_text_cell("two\nlines"), "two\\x0Alines");
}

TEST_CASE("hostile texts keep every row whole") {
    const SessionScore plain = test::made_up_session();
    for (const std::string& hostile : test::hostile_texts()) {
        CAPTURE(shown(hostile, 40));
        const std::string text = session_csv_rows(test::with_all_texts(plain, hostile));
        const auto rows = rows_of(text);
        REQUIRE_EQ(rows.size(), plain.cycles.size() * measure_list().size());
        for (const auto& row : rows) {
            REQUIRE_EQ(row.size(), 15);
            for (const std::size_t cell : {1u, 2u, 4u, 5u, 14u}) {
                const bool runs =
                    !row[cell].empty() && std::string_view("=+-@\t\r").find(row[cell][0]) != std::string_view::npos;
                REQUIRE_FALSE(runs);
            }
        }
        std::istringstream stream(text);
        for (std::string line; std::getline(stream, line);) REQUIRE_EQ(shown(line, line.size()), line);
    }
}
