// How often courses of known truth are told right. course_rates prints the full table.
#include <doctest/doctest.h>

#include "course/made_course.hpp"

using namespace tracehold;
using namespace tracehold::test;

TEST_CASE("without a true change at most one course in twenty claims one") {
    const CourseRates rates = rates_of({.spread = 0.20}, 1000);
    MESSAGE(rates.any_claim, " of 1000 claim a change");
    CHECK(rates.any_claim <= 50);
}

TEST_CASE("days that resemble each other do not make claims more frequent") {
    const CourseRates rates = rates_of({.spread = 0.20, .day_share = 1.0, .day_correlation = 0.3}, 1000);
    MESSAGE("day to day 0.3: ", rates.any_claim, " of 1000 claim a change");
    CHECK(rates.any_claim <= 50);
    const CourseRates strong = rates_of({.spread = 0.20, .day_share = 1.0, .day_correlation = 0.6}, 500);
    MESSAGE("day to day 0.6: ", strong.any_claim, " of 500 claim a change");
    CHECK(strong.any_claim <= 25);
}

TEST_CASE("a rise of two fifths is found and never called a fall") {
    const CourseRates rates = rates_of({.rise_pct = 40.0, .spread = 0.10}, 1000);
    MESSAGE(rates.hold_more, " of 1000 rises found, ", rates.hold_less, " called a fall");
    CHECK(rates.hold_more >= 900);
    CHECK(rates.hold_less == 0);
    CHECK(rates.other_claim <= 50);  // what stays as it was is not drawn along, either way
    const CourseRates wide =
        rates_of({.days_per_week = 3, .sessions_per_day = 1, .rise_pct = 40.0, .spread = 0.20}, 500);
    MESSAGE("20 % spread, 3 a week: ", wide.hold_more, " of 500 found, ", wide.hold_less, " called a fall");
    CHECK(wide.hold_less == 0);
}

TEST_CASE("a fall of three tenths is found and never called a rise") {
    const CourseRates rates = rates_of({.rise_pct = -30.0, .spread = 0.10}, 1000);
    MESSAGE(rates.hold_less, " of 1000 falls found, ", rates.hold_more, " called a rise, ", rates.other_claim, " claim another change");
    CHECK(rates.hold_less >= 900);
    CHECK(rates.hold_more == 0);
    CHECK(rates.other_claim <= 50);
}

TEST_CASE("visits without a true change claim one in at most one of twenty persons") {
    for (const int visits : {6, 8, 12}) {
        const VisitRates rates = visit_rates_of({.visits = visits, .spread = 0.20}, 1000);
        MESSAGE(visits, " visits: ", rates.any_claim, " of 1000 claim a change");
        CHECK(rates.tested == 4);
        CHECK(rates.any_claim <= 50);
    }
}

TEST_CASE("a rise over eight visits is mostly found and never called a fall") {
    const VisitRates rates = visit_rates_of({.changed_pct = 60.0, .spread = 0.10}, 500);
    MESSAGE(rates.any_claim, " of 500 rises found in any step, ", rates.hold_claim, " in the holds");
    CHECK(rates.any_claim >= 250);
    CHECK(rates.wrong == 0);
}
