#include "tracehold/report/overview.hpp"

#include <doctest/doctest.h>

#include "support/made_up_session.hpp"
#include "support/text_parts.hpp"
#include "tracehold/report/render.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

OverviewRow row_on(const std::string& day, const std::string& person = "P-1") {
    OverviewRow row;
    row.cells = {day + ".edf", day, "yes", "8 of 8", "20", "2", "0.5"};
    if (const auto time = parse_civil_time(day)) row.day = std::chrono::floor<std::chrono::days>(time->local);
    row.person = person;
    row.dose = {.sessions_per_day = 1, .days_per_week = 6, .weeks = 12};
    return row;
}

std::string text_of(const std::vector<OverviewRow>& rows) {
    return render_text(compose_overview(rows), {.columns = 200, .pictures = false, .color = false});
}

}  // namespace

TEST_CASE("the overview says what was asked beside what is there") {
    const std::string text = text_of({row_on("2026-03-02"), row_on("2026-03-04"), row_on("2026-03-04")});
    CHECK(holds(text, "The plan asks for 1 session a day, 6 days a week; here 3 recordings on 2 days, from 2026-03-02 to 2026-03-04"));
    CHECK(holds(text_of({row_on("2026-03-02")}), "here 1 recording on 1 day, from 2026-03-02 to 2026-03-02"));
}

TEST_CASE("the overview compares nothing where people or doses differ or a day is not known") {
    CHECK_FALSE(holds(text_of({row_on("2026-03-02"), row_on("2026-03-03", "P-2")}), "asks for"));
    CHECK_FALSE(holds(text_of({row_on("2026-03-02"), row_on("")}), "asks for"));
    OverviewRow other = row_on("2026-03-03");
    other.dose.days_per_week = 5;
    CHECK_FALSE(holds(text_of({row_on("2026-03-02"), other}), "asks for"));
    OverviewRow none = row_on("2026-03-03");
    none.dose = {};
    CHECK_FALSE(holds(text_of({none, none}), "asks for"));
    CHECK_FALSE(holds(text_of({overview_row(Error{ErrorKind::malformed, "a/b.csv", "", "no samples", ""})}), "asks for"));
}

TEST_CASE("a copy has a line in the overview and is counted once") {
    OverviewRow first = row_on("2026-03-02"), copy = first, other = row_on("2026-03-03");
    first.sha256 = copy.sha256 = "aa", other.sha256 = "bb";
    copy.cells[0] = "again.edf";
    copy.remark = first.remark = "8 missed";
    const std::string text = text_of({first, copy, other});
    CHECK(holds(text, "2 recordings, 2 scored"));
    CHECK(holds(text, "here 2 recordings on 2 days"));
    CHECK(holds(text, "again.edf: a copy of 2026-03-02.edf, counted once"));
    CHECK_FALSE(holds(text, "again.edf: 8 missed"));
    for (const auto change : {+[](OverviewRow& row) { row.person = "P-2"; }, +[](OverviewRow& row) { row.day.reset(); },
                              +[](OverviewRow& row) { row.sha256.clear(); }}) {
        OverviewRow apart = copy;
        change(apart);
        CHECK(holds(text_of({first, apart, other}), "3 recordings, 3 scored"));
        CHECK_FALSE(holds(text_of({first, apart, other}), "a copy"));
    }
}

TEST_CASE("a row of the overview carries what its session says and a refused file its reason") {
    const SessionScore score = test::made_up_session();
    const OverviewRow row = overview_row(score);
    CHECK(row.scored == score.quality.usable);
    CHECK(row.cells[2] == "with care");
    CHECK(row.person == score.recording.person);
    CHECK(row.day.has_value() == score.recording.start.has_value());
    const OverviewRow refused = overview_row(Error{ErrorKind::malformed, "a/b.csv", "", "no samples", ""});
    CHECK(refused.cells[0] == "b.csv");
    CHECK(refused.cells[2] == "refused");
    CHECK(holds(text_of({refused}), "b.csv: no samples"));
    CHECK_FALSE(refused.scored);
}

TEST_CASE("recordings of one name are told apart by the person and else by the folder") {
    SessionScore score = test::made_up_session();
    score.recording.source = "rec/A-1/session1.csv";
    score.recording.person = "A-1";
    SessionScore other = score;
    other.recording.source = "rec/B-2/session1.csv";
    CHECK_FALSE(holds(text_of({overview_row(score)}), "A-1"));
    CHECK(holds(text_of({overview_row(score), overview_row(other)}), "rec/B-2/session1.csv"));  // of one person
    other.recording.person = "B-2";
    const std::string two = text_of({overview_row(score), overview_row(other)});
    CHECK(holds(two, "session1.csv (A-1)"));
    CHECK(holds(two, "session1.csv (B-2)"));
    CHECK(holds(two, "session1.csv (B-2): "));  // the remark under the table
    CHECK_FALSE(holds(two, "rec/"));
    other.recording.source = "rec/B-2/session2.csv";
    CHECK_FALSE(holds(text_of({overview_row(score), overview_row(other)}), "(B-2)"));
    const OverviewRow refused = overview_row(Error{ErrorKind::malformed, "rec/C-3/session1.csv", "", "no samples", ""});
    CHECK(holds(text_of({overview_row(score), refused, refused}), "rec/C-3/session1.csv"));
}
