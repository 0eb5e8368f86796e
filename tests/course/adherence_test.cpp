#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "course/made_course.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

Plan plan_of(Dose dose, int times = 8) {
    Plan plan;
    plan.name = plan.sha256 = "home";
    plan.posture = "lying";
    plan.steps = {{StepKind::hold, 6.0, 9.0, times}};
    plan.dose = dose;
    return plan;
}

SessionScore session(int day, double hour, const Plan& plan) {
    SessionScore score = made_session(day, hour);
    score.plan = plan;
    score.done = 7;
    score.missed = 1;
    return score;
}

Adherence adherence_of(const std::vector<SessionScore>& scores, CourseSettings settings = {}) {
    settings.rules = std::vector<Rule>{};
    return chart_course(scores, settings).adherence;
}

}  // namespace

TEST_CASE("two whole weeks are counted against the dose") {
    const Plan plan = plan_of({2.0, 6.0, 12.0});
    std::vector<SessionScore> scores;
    for (const int day : {0, 1, 2, 3, 4, 5, 7, 8, 13}) {
        scores.push_back(session(day, 8.0, plan));
        scores.push_back(session(day, 18.0, plan));
    }
    const Adherence adherence = adherence_of(scores);
    REQUIRE(adherence.weeks.size() == 2);
    CHECK(adherence.weeks[0].iso_year == 2026);
    CHECK(adherence.weeks[0].iso_week == 10);  // date.isocalendar of Python
    CHECK(*adherence.weeks[0].planned_sessions == doctest::Approx(12.0));
    CHECK(*adherence.weeks[0].planned_contractions == doctest::Approx(96.0));
    CHECK(adherence.weeks[0].sessions == 12);
    CHECK(adherence.weeks[0].contractions == 96);
    CHECK(adherence.weeks[0].counting == 84);
    CHECK(adherence.weeks[1].sessions == 6);
    CHECK(adherence.weeks[1].days == std::array<std::size_t, 7>{2, 2, 0, 0, 0, 0, 2});
    CHECK(*adherence.planned_sessions == doctest::Approx(24.0));
    CHECK(adherence.sessions == 18);
    CHECK(adherence.longest_gap_days == doctest::Approx(4.0 + 14.0 / 24.0));  // day 8 at 18:00 to day 13 at 8:00
    CHECK(adherence.reason.empty());
}

TEST_CASE("part weeks count the days they have and empty ones between count whole") {
    const Plan plan = plan_of({1.0, 7.0, 12.0});
    const Adherence adherence = adherence_of({session(4, 8.0, plan), session(23, 8.0, plan)});
    REQUIRE(adherence.weeks.size() == 4);
    CHECK(*adherence.weeks[0].planned_sessions == doctest::Approx(3.0));  // Friday to Sunday
    CHECK(*adherence.weeks[1].planned_sessions == doctest::Approx(7.0));
    CHECK(adherence.weeks[1].sessions == 0);
    CHECK(*adherence.weeks[3].planned_sessions == doctest::Approx(3.0));  // Monday to Wednesday
    CHECK(*adherence.planned_sessions == doctest::Approx(20.0));
}

TEST_CASE("weeks after the last session count only where the plan or the caller says so") {
    const Plan plan = plan_of({1.0, 7.0, 4.0});
    const std::vector<SessionScore> scores{session(0, 8.0, plan), session(1, 8.0, plan)};
    CourseSettings settings;
    settings.today = first_day() + std::chrono::days{300};
    CHECK(*adherence_of(scores, settings).planned_sessions == doctest::Approx(2.0));
    settings.count_until = first_day() + std::chrono::days{300};
    CHECK(*adherence_of(scores, settings).planned_sessions == doctest::Approx(28.0));
    settings.count_until = first_day() + std::chrono::days{9};
    CHECK(*adherence_of(scores, settings).planned_sessions == doctest::Approx(10.0));
    settings.before = {session(-21, 8.0, plan)};  // three of the four weeks are over
    CHECK(*adherence_of(scores, settings).planned_sessions == doctest::Approx(7.0));
    CHECK(adherence_of(scores, settings).prescribed->last_day == first_day() + std::chrono::days{6});
    settings.before = {session(21, 8.0, plan)};  // not before the others: it tells nothing
    CHECK(*adherence_of(scores, settings).planned_sessions == doctest::Approx(10.0));
}

TEST_CASE("a plan may ask for all its weeks to count") {
    Plan plan = plan_of({1.0, 7.0, 4.0, true});
    const CourseSettings today{.today = first_day() + std::chrono::days{100}};
    CHECK(*adherence_of({session(0, 8.0, plan)}, today).planned_sessions == doctest::Approx(28.0));
    CHECK(*adherence_of({session(0, 8.0, plan)}, {.today = first_day() + std::chrono::days{6}}).planned_sessions ==
          doctest::Approx(7.0));
    CHECK(*adherence_of({session(0, 8.0, plan)}).planned_sessions == doctest::Approx(1.0));
    plan.dose.count_all_weeks = false;
    CHECK(*adherence_of({session(0, 8.0, plan)}, today).planned_sessions == doctest::Approx(1.0));
}

TEST_CASE("in a part week a dose that leaves days open asks for what was done within it, and no more than the dose") {
    const Plan plan = plan_of({1.0, 2.0, 12.0});
    const auto planned = [&](std::vector<double> days) {
        std::vector<SessionScore> scores;
        for (const double day : days) scores.push_back(session(static_cast<int>(day), 24.0 * (day - std::floor(day)), plan));
        return *adherence_of(scores).planned_sessions;
    };
    CHECK(planned({0, 3, 7, 10, 14, 17}) == doctest::Approx(6.0));        // Mondays and Thursdays
    CHECK(planned({0, 3, 7, 10, 14}) == doctest::Approx(5.0));            // the last on a Monday
    CHECK(planned({0, 3, 7, 10, 14, 15, 16}) == doctest::Approx(6.0));    // three days in a row: one too many
    CHECK(planned({0, 3, 7, 14, 17}) == doctest::Approx(6.0));            // one missed in a whole week
    CHECK(planned({0, 3, 7.3, 7.8}) == doctest::Approx(3.0));             // twice on one day: one a day
    CHECK(planned({0, 3, 7, 17}) == doctest::Approx(4.0 + 8.0 / 7.0));    // four days of the last week, one done
}

// 6 a week from Friday to the second Monday after: 9.43 sessions, of which a reader is told 9.
TEST_CASE("weeks of a plan that begin on any day ask for as many sessions as the plan says") {
    CourseSettings counted;
    counted.count_until = std::chrono::sys_days{std::chrono::year{2026} / 12 / 31};
    for (int first = 0; first < 7; ++first) {
        for (const double sessions_a_week : {1.0, 3.0, 7.0}) {
            for (const int weeks : {1, 2, 3, 6}) {
                CAPTURE(first);
                CAPTURE(sessions_a_week);
                CAPTURE(weeks);
                const Plan plan = plan_of({1.0, sessions_a_week, static_cast<double>(weeks)});
                std::vector<SessionScore> all;
                for (int day = 0; day < 7 * weeks; ++day) {
                    if (day % 7 < static_cast<int>(sessions_a_week)) all.push_back(session(first + day, 8.0, plan));
                }
                const double asked = sessions_a_week * weeks;
                const Adherence whole = adherence_of(all, counted);
                CHECK(*whole.planned_sessions == doctest::Approx(asked));
                CHECK(static_cast<double>(whole.within_dose) == asked);
                if (weeks < 2) continue;
                all.erase(all.begin() + static_cast<long>(sessions_a_week));  // the first of the second week of the plan
                const Adherence missed = adherence_of(all, counted);
                CHECK(*missed.planned_sessions == doctest::Approx(asked));
                CHECK(static_cast<double>(missed.within_dose) == asked - 1.0);
            }
        }
    }
}

TEST_CASE("what is told as prescribed was wholly due") {
    const Plan plan = plan_of({1.0, 6.0, 12.0});
    const auto due = [&](int first, int last) {
        return wholly_due(*adherence_of({session(first, 8.0, plan), session(last, 8.0, plan)}).planned_sessions);
    };
    CHECK(due(4, 14) == 9);
    CHECK(due(4, 10) == 6);  // 3 days and 4 days
    CHECK(due(0, 1) == 2);   // 1.71, but both days may be of the six
    CHECK(wholly_due(0.0) == 0);
    CHECK(wholly_due(0.86) == 0);
    CHECK(wholly_due(5.9999999999) == 6);
}

TEST_CASE("where the prescribed weeks end and how long nothing came is told with or without counting them") {
    Plan plan = plan_of({1.0, 7.0, 4.0});
    const std::vector<SessionScore> scores{session(0, 8.0, plan), session(6, 8.0, plan)};
    CHECK(adherence_of(scores).prescribed->silent_days == 0);  // today is not known
    CHECK(adherence_of(scores).prescribed->last_day == first_day() + std::chrono::days{27});
    CHECK(adherence_of(scores).prescribed->last_session == first_day() + std::chrono::days{6});
    const CourseSettings late{.today = first_day() + std::chrono::days{300}};
    CHECK(adherence_of(scores, late).prescribed->silent_days == 21);
    CHECK_FALSE(adherence_of(scores, late).prescribed->counted_on);
    CHECK(adherence_of(scores, {.today = first_day() + std::chrono::days{10}}).prescribed->silent_days == 4);
    plan.dose.weeks.reset();
    CHECK_FALSE(adherence_of({session(0, 8.0, plan)}, late).prescribed);
}

TEST_CASE("silence begins after the last recording, whatever its plan, and is not known where recordings have no date") {
    const Plan plan = plan_of({1.0, 7.0, 4.0});
    const CourseSettings late{.today = first_day() + std::chrono::days{300}};
    std::vector<SessionScore> scores{session(0, 8.0, plan), session(6, 8.0, plan)};
    const auto prescribed = [&] { return *adherence_of(scores, late).prescribed; };
    const auto asked = [&] {
        const auto questions = chart_course(scores, late).questions;
        return std::any_of(questions.begin(), questions.end(), [](const Question& one) { return one.code == "course_broken_off"; });
    };
    CHECK(prescribed().counted_to == first_day() + std::chrono::days{27});
    CHECK(asked());
    scores.push_back(with_cues(made_session(20), visit_plan(), plan));
    CHECK(prescribed().last_session == first_day() + std::chrono::days{6});
    CHECK(prescribed().last_recording == first_day() + std::chrono::days{20});
    CHECK(prescribed().silent_days == 7);
    CHECK_FALSE(asked());
    CHECK(adherence_of(scores, late).other_plans == 1);
    scores.pop_back();
    SessionScore of_1985 = session(8, 8.0, plan);
    of_1985.recording.start = parse_civil_time("1985-01-01T08:00:00");
    scores.push_back(of_1985);
    CHECK(prescribed().silent_days == 0);
    CHECK(prescribed().counted_to == first_day() + std::chrono::days{27});
    CHECK_FALSE(asked());
    CHECK(adherence_of(scores, late).impossible_dates == 1);
}

TEST_CASE("a dose is not called missed while recordings that are not counted could make it up") {
    const Plan plan = plan_of({1.0, 2.0, 4.0});
    std::vector<SessionScore> scores;
    for (const int day : {0, 3, 7, 21, 27}) scores.push_back(session(day, 8.0, plan));
    const auto asked = [&] {
        const auto questions = chart_course(scores).questions;
        return std::any_of(questions.begin(), questions.end(), [](const Question& one) { return one.code == "adherence_low"; });
    };
    CHECK(asked());  // 5 of 8
    for (const int day : {10, 14}) scores.push_back(with_cues(made_session(day), visit_plan(), plan));
    CHECK_FALSE(asked());  // 7 of 8, maybe
}

TEST_CASE("more sessions than a week's dose do not fill another week") {
    const Plan plan = plan_of({1.0, 2.0, 4.0});
    std::vector<SessionScore> scores{session(0, 8.0, plan), session(27, 8.0, plan)};
    for (int i = 0; i < 6; ++i) scores.push_back(session(8, 8.0 + i, plan));
    const Adherence binge = adherence_of(scores);
    CHECK(binge.sessions == 8);
    CHECK(wholly_due(*binge.planned_sessions) == 8);
    CHECK(binge.within_dose == 4);  // 1, 2 of 6, 0 and 1
    const auto questions = chart_course(scores).questions;
    const auto low = std::find_if(questions.begin(), questions.end(), [](const Question& one) { return one.code == "adherence_low"; });
    REQUIRE(low != questions.end());
    CHECK(low->evidence.find("4 sessions recorded of 8 prescribed in the weeks they were due, and 4 more (50 %)") == 0);
    std::vector<SessionScore> uneven;  // five in two weeks are two and three
    const Plan half = plan_of({0.5, 5.0, 2.0});
    for (const int day : {0, 3, 7, 9, 13}) uneven.push_back(session(day, 8.0, half));
    CHECK(adherence_of(uneven).within_dose == 5);
}

TEST_CASE("weeks at the turn of a year are numbered as ISO has them") {
    const auto week_of = [](const char* date) {
        SessionScore score = made_session(0);
        score.recording.start = parse_civil_time(date);
        const CourseWeek week = adherence_of({score}).weeks.at(0);
        return std::pair(week.iso_year, week.iso_week);
    };
    CHECK(week_of("2025-12-29") == std::pair(2026, 1u));  // date.isocalendar of Python
    CHECK(week_of("2021-01-03") == std::pair(2020, 53u));
    CHECK(week_of("2024-12-30") == std::pair(2025, 1u));
}

TEST_CASE("without a whole dose nothing is prescribed") {
    const Adherence no_plan = adherence_of({made_session(0), made_session(8)});
    CHECK(no_plan.sessions == 2);
    CHECK_FALSE(no_plan.planned_sessions);
    CHECK(no_plan.reason == "no plan prescribes a number of sessions");
    const Plan half = plan_of({2.0, std::nullopt, 12.0});
    CHECK_FALSE(adherence_of({session(0, 8.0, half)}).planned_sessions);
    for (const Dose& none : {Dose{0.0, 7.0, 12.0}, Dose{2.0, 0.0, 12.0}}) {
        const Adherence nothing = adherence_of({session(0, 8.0, plan_of(none)), session(8, 8.0, plan_of(none))});
        CHECK_FALSE(nothing.planned_sessions);
        CHECK(nothing.reason == no_plan.reason);
    }
}

TEST_CASE("a new dose holds from its week on") {
    const Adherence adherence =
        adherence_of({session(0, 8.0, plan_of({1.0, 7.0, 12.0})), session(8, 8.0, plan_of({2.0, 7.0, 12.0}, 10)),
                      session(13, 8.0, plan_of({2.0, 7.0, 12.0}, 10))});
    REQUIRE(adherence.weeks.size() == 2);
    CHECK(*adherence.weeks[0].planned_sessions == doctest::Approx(7.0));
    CHECK(*adherence.weeks[1].planned_sessions == doctest::Approx(14.0));
    CHECK(*adherence.weeks[1].planned_contractions == doctest::Approx(140.0));
}

TEST_CASE("after the weeks of a plan nothing is prescribed and what was done then is told apart") {
    const Plan plan = plan_of({1.0, 1.0, 6.0});
    std::vector<SessionScore> scores;
    for (int week = 0; week < 6; ++week) scores.push_back(session(7 * week, 8.0, plan));
    const Adherence whole = adherence_of(scores);
    CHECK(whole.after_plan == Held{});
    scores.push_back(session(49, 8.0, plan));
    scores.push_back(session(77, 8.0, plan));
    const Adherence more = adherence_of(scores, {.today = first_day() + std::chrono::days{200}});
    CHECK(*more.planned_sessions == doctest::Approx(*whole.planned_sessions));
    CHECK(*more.planned_contractions == doctest::Approx(48.0));
    CHECK(more.sessions == 8);
    CHECK(more.of_dose() == Held{6, 48, 42});
    CHECK(more.after_plan == Held{2, 16, 14});
    CHECK(more.within_dose == 6);
    CHECK(weeks_of_training(more) == 6);
    REQUIRE(more.weeks.size() == 12);
    CHECK(more.weeks[7].after_plan == Held{1, 8, 7});
    CHECK(*more.weeks[7].planned_sessions == 0.0);
    CHECK(more.weeks[7].sessions == 1);
    CHECK(more.prescribed->silent_days == 0);
    scores.erase(scores.begin() + 3, scores.begin() + 6);  // a later session shows that these weeks are over
    CHECK(*adherence_of(scores).planned_sessions == doctest::Approx(6.0));
    CHECK(adherence_of(scores).of_dose().sessions == 3);
    for (SessionScore& score : scores) score.plan->dose.weeks.reset();
    CHECK(adherence_of(scores).after_plan == Held{});
    CHECK(*adherence_of(scores).planned_sessions == doctest::Approx(12.0));
}

TEST_CASE("the last day of the plan's weeks is theirs and the next is not") {
    const Plan plan = plan_of({1.0, 7.0, 2.0});
    for (const int last : {13, 14}) {  // first on a Friday: the weeks end on a Thursday
        std::vector<SessionScore> scores;
        for (int day = 0; day <= last; ++day) scores.push_back(session(4 + day, 8.0, plan));
        const Adherence seen = adherence_of(scores);
        CHECK(*seen.planned_sessions == doctest::Approx(14.0));
        CHECK(seen.within_dose == 14);
        CHECK(seen.after_plan.sessions == (last == 14 ? 1u : 0u));
    }
}

TEST_CASE("a plan that first comes after the weeks of another begins its own, and the break between them is nobody's") {
    Plan first = plan_of({1.0, 1.0, 6.0}), second = plan_of({1.0, 2.0, 6.0}, 10);
    second.sha256 = "second";
    std::vector<SessionScore> scores;
    for (int week = 0; week < 6; ++week) scores.push_back(session(7 * week, 8.0, first));
    for (int week = 14; week < 20; ++week) {
        for (const int day : {0, 3}) scores.push_back(session(7 * week + day, 8.0, second));
    }
    const Adherence seen = adherence_of(scores);
    CHECK(*seen.planned_sessions == doctest::Approx(18.0));
    CHECK(*seen.planned_contractions == doctest::Approx(6 * 8.0 + 12 * 10.0));
    CHECK(seen.within_dose == 18);
    CHECK(seen.after_plan == Held{});
    CHECK(weeks_of_training(seen) == 12);
    const auto day = [](int n) { return first_day() + std::chrono::days{n}; };
    CHECK(seen.counted == std::vector<CountedDays>{{day(0), day(41)}, {day(98), day(136)}});
    CHECK(seen.prescribed->last_day == day(98 + 41));
    const Adherence counted = adherence_of(scores, {.count_until = day(300)});
    CHECK(*counted.planned_sessions == doctest::Approx(18.0));
    CHECK(counted.counted.back().to == day(139));
    // Another threshold in the first days after the end is another plan too; the same plan is not.
    for (SessionScore& score : scores) score.plan->steps = first.steps, score.plan->dose = first.dose;
    CHECK(adherence_of(scores).after_plan == Held{});
    CHECK(*adherence_of(scores).planned_sessions == doctest::Approx(12.0));
    for (SessionScore& score : scores) score.plan->sha256 = first.sha256;
    CHECK(adherence_of(scores).after_plan.sessions == 12);
    CHECK(*adherence_of(scores).planned_sessions == doctest::Approx(6.0));
}

TEST_CASE("a plan that changed within its weeks goes on with them unless its sessions show weeks of its own") {
    const Plan plan = plan_of({1.0, 1.0, 6.0});
    const auto course_by = [&](const Plan& changed, std::vector<int> weeks_before, std::vector<int> weeks_after) {
        std::vector<SessionScore> scores;
        for (const int week : weeks_before) scores.push_back(session(7 * week, 8.0, plan));
        for (const int week : weeks_after) scores.push_back(session(7 * week, 8.0, changed));
        return adherence_of(scores, {.count_until = first_day() + std::chrono::days{300}});
    };
    Plan other_line = plan, harder = plan_of({1.0, 1.0, 6.0}, 10);
    other_line.sha256 = "line";
    other_line.threshold = Threshold{20.0, {}, {}};
    harder.sha256 = "harder";
    // Of a threshold alone the weeks are the same.
    CHECK(*course_by(other_line, {0, 1, 2}, {3, 4, 5, 8}).planned_sessions == doctest::Approx(6.0));
    CHECK(course_by(other_line, {0, 1, 2}, {3, 4, 5, 8}).after_plan.sessions == 1);
    // Of other steps: nothing is missed after the sooner end, and nothing is too many before the later one.
    CHECK(*course_by(harder, {0, 1, 2}, {3, 4, 5}).planned_sessions == doctest::Approx(6.0));
    CHECK(*course_by(harder, {0, 1, 2, 3, 4}, {5, 6, 7, 8, 9, 10}).planned_sessions == doctest::Approx(11.0));
    CHECK(course_by(harder, {0, 1, 2, 3, 4}, {5, 6, 7, 8, 9, 10}).after_plan.sessions == 0);
    CHECK(course_by(harder, {0, 1, 2, 3, 4}, {5, 6, 7, 8, 9, 10, 11}).after_plan.sessions == 1);
    // Shorter than what came before it: they cannot have begun with the first session.
    Plan short_one = plan_of({1.0, 1.0, 2.0}, 10);
    short_one.sha256 = "short";
    CHECK(course_by(short_one, {0, 1, 2, 3}, {4, 5}).prescribed->last_day == first_day() + std::chrono::days{41});
}

TEST_CASE("weeks of a plan that began before the course end as they would with all of it") {
    const Plan plan = plan_of({1.0, 1.0, 6.0});
    Plan second = plan_of({1.0, 1.0, 6.0}, 10);
    second.sha256 = "second";
    std::vector<SessionScore> before;
    for (int week = 0; week < 6; ++week) before.push_back(session(7 * week, 8.0, plan));
    const Adherence after = adherence_of({session(77, 8.0, plan), session(84, 8.0, plan)}, {.before = before});
    CHECK(*after.planned_sessions == 0.0);
    CHECK(after.after_plan.sessions == 2);
    const Adherence own = adherence_of({session(77, 8.0, second), session(84, 8.0, second)}, {.before = before});
    CHECK(*own.planned_sessions == doctest::Approx(2.0));
    CHECK(own.after_plan.sessions == 0);
    CHECK(own.prescribed->last_day == first_day() + std::chrono::days{77 + 41});
    SessionScore of_1985 = session(0, 8.0, plan);  // a clock that was never set begins nothing
    of_1985.recording.start = parse_civil_time("1985-01-01T08:00:00");
    CHECK(adherence_of({session(77, 8.0, plan)}, {.before = {of_1985}}).after_plan.sessions == 0);
}


TEST_CASE("the later end of a changed plan's weeks holds once a session lies behind the sooner one") {
    Plan plan = plan_of({1.0, 2.0, 2.0}), changed = plan_of({1.0, 1.0, 3.0}, 10);
    changed.sha256 = "changed";
    std::vector<SessionScore> scores = {session(0, 8.0, plan), session(3, 8.0, plan), session(8, 8.0, changed), session(15, 8.0, changed)};
    CHECK(adherence_of(scores).prescribed->last_day == first_day() + std::chrono::days{20});
    scores.push_back(session(22, 8.0, changed));
    const Adherence seen = adherence_of(scores);
    CHECK(seen.prescribed->last_day == first_day() + std::chrono::days{28});
    CHECK(seen.prescribed->counted_to <= seen.prescribed->last_day);
    CHECK(seen.after_plan.sessions == 0);
}

TEST_CASE("weeks that earlier sessions began are counted from the day that is given, not from the first session after it") {
    const Plan plan = plan_of({1.0, 2.0, 10.0});
    const auto day = [](int n) { return first_day() + std::chrono::days{n}; };
    const std::vector<SessionScore> before = {session(0, 8.0, plan), session(3, 8.0, plan)};
    const std::vector<SessionScore> scores = {session(42, 8.0, plan), session(45, 8.0, plan), session(50, 8.0, plan), session(52, 8.0, plan)};
    const Adherence seen = adherence_of(scores, {.count_until = day(55), .count_from = day(7), .before = before});
    CHECK(seen.counted == std::vector<CountedDays>{{day(7), day(55)}});
    CHECK(*seen.planned_sessions == doctest::Approx(14.0));
    CHECK(seen.within_dose == 4);
    REQUIRE(seen.weeks.size() == 7);
    CHECK(seen.weeks.front().monday == day(7));
    // Without earlier sessions nothing is known to be prescribed before the first.
    CHECK(*adherence_of(scores, {.count_until = day(55), .count_from = day(7)}).planned_sessions == doctest::Approx(4.0));
    // Weeks that end within the period without a session of it are due to their end, and their plan asks for nothing after it.
    Plan brief = plan_of({1.0, 2.0, 2.0});
    const Adherence late = adherence_of({session(42, 8.0, brief)}, {.count_from = day(7), .before = {session(0, 8.0, brief)}});
    CHECK(late.counted == std::vector<CountedDays>{{day(7), day(13)}});
    CHECK(*late.planned_sessions == doctest::Approx(2.0));
    CHECK(late.after_plan.sessions == 1);
}

TEST_CASE("whether the time is long enough is told by the days that are counted") {
    Plan plan = plan_of({1.0, 2.0, 2.0});
    plan.dose.count_all_weeks = true;
    const Adherence seen = adherence_of({session(0, 8.0, plan), session(3, 8.0, plan)}, {.today = first_day() + std::chrono::days{60}});
    CHECK(*seen.planned_sessions == doctest::Approx(4.0));
    CHECK(held_against_dose(seen));
}

TEST_CASE("two channels of one recording are one session") {
    SessionScore other = made_session(0);
    other.recording.channel = "EMG 2";
    CHECK(adherence_of({made_session(0), other, made_session(1)}).sessions == 2);
}

TEST_CASE("two days in two calendar weeks are no week to hold against a dose") {
    Adherence seen{.planned_sessions = 3.0};
    seen.weeks = {{.monday = first_day()}, {.monday = first_day() + std::chrono::days{7}}};
    seen.weeks[0].days[6] = seen.weeks[1].days[0] = 2;  // Sunday and the Monday after
    CHECK_FALSE(held_against_dose(seen));
    seen.weeks[1].days[5] = 1;  // Saturday: seven days
    CHECK(held_against_dose(seen));
    seen.weeks[1].days[5] = 0;
    seen.weeks.push_back({.monday = first_day() + std::chrono::days{14}});
    CHECK(held_against_dose(seen));
}
