#include <doctest/doctest.h>

#include <array>
#include <chrono>
#include <sstream>

#include "exchange/csv_rows.hpp"
#include "support/golden.hpp"
#include "support/hostile_texts.hpp"
#include "support/made_up_course.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/write_course.hpp"

using namespace tracehold;
using test::rows_of;

TEST_CASE("golden: the CSV of a course") {
    CHECK_GOLDEN("course.csv", course_csv_header() + course_csv_rows(test::made_up_course()));
}

TEST_CASE("one row a phase and session and measure with as many cells as the head") {
    const auto rows = rows_of(course_csv_header() + course_csv_rows(test::made_up_course()));
    REQUIRE_EQ(rows.size(), 1 + 3 * 3 + 1 * 1);
    for (const auto& row : rows) CHECK_EQ(row.size(), 16);
}

TEST_CASE("a session's value is in full and a missing one says why") {
    Course course = test::made_up_course();
    course.phases[0].measures[0].points[0].value = 43.0 / 3.0;
    const auto rows = rows_of(course_csv_rows(course));
    CHECK_EQ(rows[0][12], "hold_mean_uv");
    CHECK_EQ(parse_number(rows[0][13]), 43.0 / 3.0);
    CHECK_EQ(rows[0][14], "uV");
    CHECK_EQ(rows[0][15], "");
    CHECK_EQ(rows[3][11], "d03.csv");
    CHECK_EQ(rows[3][13], "");
    CHECK_EQ(rows[3][15], "the signal was not usable");
    CHECK_EQ(rows[8][12], "fade_pct");
    CHECK_EQ(rows[8][15], "no value in this session");
    CHECK_EQ(rows[6][13], "19.5");  // the third session, whose value is the second point
}

TEST_CASE("phases and sessions and steps are counted from one") {
    const auto rows = rows_of(course_csv_rows(test::made_up_course()));
    CHECK_EQ(rows[0][2], "1");
    CHECK_EQ(rows[0][8], "");
    CHECK_EQ(rows[0][9], "1");
    CHECK_EQ(rows[9][2], "2");
    CHECK_EQ(rows[9][3], "assessment");
    CHECK_EQ(rows[9][8], "2");
    CHECK_EQ(rows[9][10], "2026-03-09");
}

TEST_CASE("a course without sessions has no rows") { CHECK_EQ(course_csv_rows(test::made_up_empty_course()), ""); }

TEST_CASE("hostile texts keep every row of a course whole") {
    for (const std::string& hostile : test::hostile_texts()) {
        CAPTURE(shown(hostile, 40));
        const std::string text = course_csv_rows(test::with_all_texts(test::made_up_course(), hostile));
        const auto rows = rows_of(text);
        REQUIRE_EQ(rows.size(), 10);
        for (const auto& row : rows) {
            REQUIRE_EQ(row.size(), 16);
            for (const std::size_t cell : {1u, 4u, 5u, 11u}) {
                const bool runs =
                    !row[cell].empty() && std::string_view("=+-@\t\r").find(row[cell][0]) != std::string_view::npos;
                REQUIRE_FALSE(runs);
            }
        }
        std::istringstream stream(text);
        for (std::string line; std::getline(stream, line);) REQUIRE_EQ(shown(line, line.size()), line);
    }
}

TEST_CASE("golden: the weeks of a course") {
    CHECK_GOLDEN("course_weeks.csv", course_weeks_csv_header() + course_weeks_csv_rows(test::made_up_course()));
}

TEST_CASE("a week has the longest time to a session in it and none where nobody trained") {
    Course course;
    const std::chrono::sys_days monday = std::chrono::year{2026} / 3 / 2;
    const auto week = [&](int number, std::array<std::size_t, 7> days) {
        CourseWeek one{.iso_year = 2026, .iso_week = static_cast<unsigned>(10 + number), .monday = monday + std::chrono::days{7 * number}};
        one.days = days;
        for (const std::size_t sessions : days) one.sessions += sessions;
        course.adherence.weeks.push_back(one);
    };
    week(0, {0, 1, 0, 0, 1, 0, 0});
    week(1, {0, 0, 0, 0, 0, 0, 0});
    week(2, {0, 0, 1, 0, 0, 0, 2});
    week(3, {0, 0, 0, 0, 0, 0, 1});
    course.adherence.weeks[3].after_plan.sessions = 1;
    const auto rows = rows_of(course_weeks_csv_header() + course_weeks_csv_rows(course));
    REQUIRE_EQ(rows.size(), 5);
    for (const auto& row : rows) REQUIRE_EQ(row.size(), 12);
    CHECK_EQ(rows[1][10], "3");
    CHECK_EQ(rows[2][10], "");
    CHECK_EQ(rows[3][10], "12");  // from Friday the 6th to Wednesday the 18th
    CHECK_EQ(rows[4][10], "7");
    CHECK_EQ(rows[3][6], "3");
    CHECK_EQ(rows[3][11], "0");
    CHECK_EQ(rows[4][11], "1");
    CHECK_EQ(rows[1][5], "");  // no dose
    CHECK_EQ(rows[3][4], "2026-03-16");
    course.adherence.weeks.erase(course.adherence.weeks.begin() + 1, course.adherence.weeks.end());
    course.adherence.weeks[0].days = {0, 0, 2, 0, 0, 0, 0};
    CHECK_EQ(rows_of(course_weeks_csv_rows(course))[0][10], "0");  // two on the first day
    course.adherence.weeks[0].days = {0, 0, 1, 0, 0, 0, 0};
    CHECK_EQ(rows_of(course_weeks_csv_rows(course))[0][10], "");
    CHECK_EQ(course_weeks_csv_rows(test::made_up_empty_course()), "");
}
