#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "support/text_parts.hpp"
#include "tracehold/report/compose_course_report.hpp"
#include "tracehold/report/compose_referrer_report.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/render_html.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::string page_of(const Course& course) { return render_text(compose_course_report(course), {.columns = 400}); }

// One session on each of the days, counted from a Monday, with 15 contractions; part weeks count the days they have.
Course course_on(const std::vector<int>& days, std::optional<double> a_week) {
    Course course;
    course.found = course.used = days.size();
    Adherence& seen = course.adherence;
    if (a_week) seen.planned_sessions = seen.planned_contractions = 0.0;
    if (!a_week) seen.reason = "no plan says how often";
    for (int week = days.front() / 7; week <= days.back() / 7; ++week) {
        CourseWeek& added = seen.weeks.emplace_back();
        added.monday = std::chrono::sys_days{std::chrono::year{2026} / 3 / 2} + std::chrono::days{7 * week};
        const int first = std::max(days.front(), 7 * week), last = std::min(days.back(), 7 * week + 6);
        if (a_week) *seen.planned_sessions += *a_week * (last - first + 1) / 7.0;
        for (const int day : days) added.days[static_cast<std::size_t>(day % 7)] += day / 7 == week;
    }
    if (a_week) seen.planned_contractions = 15.0 * *seen.planned_sessions;
    seen.sessions = seen.within_dose = days.size();
    seen.counting = 15 * days.size();
    for (std::size_t i = 1; i < days.size(); ++i)
        seen.longest_gap_days = std::max(seen.longest_gap_days, 1.0 * (days[i] - days[i - 1]));
    return course;
}

// Of 28 days with one measure that was tested, its error from own repeats.
Course tested_course() {
    Course course = course_on({0, 27}, 6.0);
    course.tested_measures = 1;
    Phase phase;
    const std::chrono::sys_days monday = std::chrono::year{2026} / 3 / 2;
    phase.sessions = {{.score = 0, .source = "a.edf", .day = monday}, {.score = 1, .source = "b.edf", .day = monday + std::chrono::days{27}}};
    MeasureChange change{.key = "hold_mean_uv", .title = "Hold mean", .unit = "µV", .primary = true, .change_unit = "%", .change = 40.0,
                         .change_low = 28.0, .change_high = 53.0, .sem = 9.8, .mdc95 = 29.6, .needed_rise = 24.0, .needed_fall = 19.4,
                         .error_source = ErrorSource::own_repeats, .slope_per_week = 3.1, .slope_low = -0.4, .slope_high = 4.2, .p = 0.002,
                         .p_adjusted = 0.0501, .statement = Statement::no_change_shown, .text = "its own figures"};
    change.points = {{0, 10.0}, {1, 14.0}};
    change.baseline = CourseBlock{.value = 10.0, .from = monday, .to = monday, .days = 1, .sessions = 1};
    change.current = CourseBlock{.value = 14.0, .from = phase.sessions[1].day, .to = phase.sessions[1].day, .days = 1, .sessions = 1};
    phase.measures = {change};
    course.phases = {phase};
    return course;
}

}  // namespace

TEST_CASE("a course of which no signal could be scored asks about the electrode and promises no table") {
    Course course = course_on({0, 3, 7, 10}, 2.0);
    course.used = 0, course.rejected = 4;
    Phase phase;
    phase.sessions.resize(4);
    course.phases.push_back(phase);
    const std::string text = page_of(course);
    CHECK(holds(text, "0 of 4 signals could be scored; 4 gave no value to what follows."));
    CHECK_FALSE(holds(text, "no caution on the scored ones"));
    CHECK_FALSE(holds(text, "tables below"));
    CHECK(holds(text, "No signal could be scored: nothing can be compared."));
    CHECK(holds(text, "how many contractions were done cannot be told, no signal could be scored"));
    CHECK_FALSE(holds(text, "Needed  n  Statement"));
    CHECK(holds(text, "Are electrode, reference, contact and cable as they should be?"));
    course.phases.clear();
    CHECK_FALSE(holds(page_of(course), "Plan        none"));
    CHECK(holds(page_of(course), "that of no session: none was used"));
}

TEST_CASE("a course with nothing in it says so and still carries limits and cautions") {
    const std::string text = render_text(compose_course_report(Course{}));
    CHECK(holds(text, "0 sessions found, none of them training with a date."));
    CHECK(holds(text, "Too few sessions that can be compared"));
    CHECK(holds(text, "Limits"));
    CHECK(holds(text, "Stop and call"));
}

TEST_CASE("one session is no adherence in percent and no change") {
    const std::string text = page_of(course_on({0}, 6.0));
    CHECK(holds(text, "1 session on 2026-03-02 (too short a time to hold against the dose); 15 contractions done"));
    CHECK_FALSE(holds(text, "117"));
    CHECK_FALSE(holds(text, "from one session to the next"));
}

TEST_CASE("sessions are held against the dose from a week on and never beyond all") {
    CHECK(holds(page_of(course_on({0, 1, 2, 3, 4, 5}, 6.0)), "6 sessions in 6 days (too short a time"));
    CHECK(holds(page_of(course_on({0, 1, 2, 3, 4, 6}, 6.0)),
                "6 of 6 prescribed sessions (100 %) in 1 week; 90 of 90 contractions of all prescribed sessions (100 %)"));
    CHECK(holds(page_of(course_on({0, 1, 2, 3, 4, 5, 6}, 6.0)),
                "7 sessions where 6 were prescribed in 1 week; 105 contractions where 90 were"));
    CHECK(holds(page_of(course_on({2, 9}, 6.0)),
                "2 of 6 prescribed sessions (33 %) in 2 weeks;"));
    CHECK(holds(page_of(course_on({5, 11}, 6.0)), "in 1 week;"));  // seven days, of two weeks of the calendar
    CHECK(holds(page_of(course_on({0, 13}, 6.0)), "in 2 weeks;"));
    CHECK(holds(page_of(course_on({0, 1}, std::nullopt)), "2 sessions in 1 week (no plan says how often)"));
}

TEST_CASE("days that no plan asks for anything are told and are no part of the share") {
    Course course = course_on({0, 2, 7, 9, 14, 16}, 2.0);
    Adherence& seen = course.adherence;
    const std::chrono::sys_days monday = seen.weeks[0].monday;
    const auto day = [&](int n) { return monday + std::chrono::days{n}; };
    seen.planned_sessions = 6.0;
    seen.planned_contractions = 90.0;
    seen.counted = {{day(0), day(20)}};
    CHECK_FALSE(holds(page_of(course), "Nothing was prescribed"));
    CHECK_FALSE(holds(page_of(course), "After the plan's weeks"));
    seen.sessions = 7;
    seen.counting = 100;
    seen.after_plan = {1, 15, 10};
    CHECK(holds(page_of(course), "6 of 6 prescribed sessions (100 %) in 3 weeks; 90 of 90 contractions of all prescribed sessions (100 %)"));
    CHECK(holds(page_of(course), "After the plan's weeks: 1 session, neither prescribed nor counted as done of those prescribed."));
    seen.counted = {{day(0), day(13)}, {day(21), day(27)}};
    CHECK(holds(page_of(course), "(100 %) in 3 weeks;"));
    CHECK(holds(page_of(course), "Nothing was prescribed from 2026-03-16 to 2026-03-22: between the weeks of two plans."));
    CHECK(holds(page_of(course), "Outside of the plans' weeks: 1 session, neither prescribed nor counted as done of those prescribed."));
}

TEST_CASE("weeks with less than half of what was due are named where they are few") {
    const auto with_weeks = [](const std::vector<std::size_t>& done) {
        Course course = course_on({0, 7 * static_cast<int>(done.size()) - 1}, 6.0);
        for (std::size_t i = 0; i < done.size(); ++i) {
            course.adherence.weeks[i].planned_sessions = 6.0;
            course.adherence.weeks[i].sessions = done[i];
        }
        return page_of(course);
    };
    CHECK(holds(with_weeks({6, 2, 3, 6, 0}), "Less than half in the weeks of 2026-03-09 (2 of 6), 2026-03-30 (0 of 6)."));
    CHECK(holds(with_weeks({6, 2, 6}), "Less than half in the week of 2026-03-09 (2 of 6)."));
    CHECK_FALSE(holds(with_weeks({6, 3, 4}), "Less than half"));
    CHECK_FALSE(holds(with_weeks({2, 2, 2, 2}), "Less than half"));
}

TEST_CASE("a hold that moved with its reference asks whether the set-up was the same") {
    Course course = tested_course();
    MeasureChange share = course.phases[0].measures[0];
    share.key = "hold_of_reference_pct";
    course.phases[0].measures.push_back(share);
    const char* alike = "Was the set-up the same throughout?";
    CHECK_FALSE(holds(page_of(course), alike));
    course.phases[0].measures[0].statement = Statement::more;
    CHECK(holds(page_of(course), alike));
    CHECK(holds(render_text(compose_referrer_report(course, Language::en), {.columns = 10000}), "was the set-up the same?"));
    CHECK(holds(render_text(compose_referrer_report(course, Language::de), {.columns = 10000}), "War der Aufbau gleich?"));
    CHECK(holds(render_text(compose_referrer_report(course, Language::fr), {.columns = 10000}), "le montage était-il le même"));
    Course two = course;
    two.phases.push_back(two.phases[0]);
    two.phases[1].posture = "standing";
    CHECK_FALSE(holds(page_of(two), "?."));
    CHECK_FALSE(holds(page_of(two), "? ."));
    course.phases[0].measures[1].statement = Statement::more;
    CHECK_FALSE(holds(page_of(course), alike));
    CHECK_FALSE(holds(render_text(compose_referrer_report(course, Language::en), {.columns = 10000}), "was the set-up the same?"));
}

TEST_CASE("steps of assessments with too little to say share a line and other plans are told first") {
    Course course = course_on({0, 27}, 6.0);
    MeasureChange change{.key = "rest_mean_uv", .title = "Rest mean", .unit = "µV", .primary = true, .change_unit = "%",
                         .statement = Statement::not_enough, .reason = "2 days with a value, at least 6 are needed"};
    Phase phase{.purpose = PlanPurpose::assessment, .contraction = StepKind::rest, .step = 0, .step_name = "rest 30 s"};
    phase.sessions = {{.score = 0, .source = "v1.edf"}, {.score = 1, .source = "v2.edf"}};
    phase.plan_changes = {{std::chrono::year{2026} / 3 / 9, "Visit B"}};
    phase.measures = {change};
    course.phases = {phase, phase};
    course.phases[1].step_name = "hold 6 s, 3 times";
    const std::string text = page_of(course);
    CHECK(holds(text, "Assessments (rest 30 s, hold 6 s, 3 times): not enough to say of a change: 2 days with a value, at least 6 are needed"));
    CHECK(holds(text, "By another plan (Visit B) from 2026-03-09 on: what differs after it may be the plan's doing."));
    CHECK(text.find("By another plan") == text.rfind("By another plan"));
    CHECK(holds(text, "resting activity, step rest 30 s."));
    course.adherence = {};
    CHECK(holds(page_of(course), "2 assessments with a date; no session of training among what was found."));
}

namespace {

// Two visits by one plan: a hold beyond the published error, a rest within it, a time of which none is published.
Course two_visits() {
    Course course;
    course.found = course.used = 2;
    const std::chrono::sys_days first = std::chrono::year{2026} / 3 / 2, second = std::chrono::year{2026} / 5 / 11;
    const auto step = [&](StepKind kind, const char* name, MeasureChange change, double from, double to) {
        Phase phase{.purpose = PlanPurpose::assessment, .posture = "lying", .channel = "EMG PFM", .contraction = kind, .step_name = name};
        phase.sessions = {{.score = 0, .source = "v1.edf", .day = first}, {.score = 1, .source = "v2.edf", .day = second}};
        change.points = {{0, from}, {1, to}};
        change.baseline = CourseBlock{from, first, first, 1, 1}, change.current = CourseBlock{to, second, second, 1, 1};
        change.primary = true, change.statement = Statement::not_enough, change.reason = "2 days with a value, at least 6 are needed";
        if (change.unit == "µV") change.change_unit = "%", change.relative = true, change.needed_rise = 44.0, change.needed_fall = 30.6;
        change.change = change.relative ? 100.0 * (to / from - 1.0) : to - from;
        if (change.relative) change.beyond_published = *change.change > 44.0;
        phase.measures = {change};
        course.phases.push_back(phase);
    };
    step(StepKind::rest, "opening rest 20 s", {.key = "rest_mean_uv", .title = "Rest mean", .unit = "µV"}, 2.3, 2.5);
    step(StepKind::hold, "hold 10 s, 3 times", {.key = "hold_mean_uv", .title = "Hold mean", .unit = "µV"}, 10.0, 16.0);
    step(StepKind::endurance, "endurance 30 s, 1 time", {.key = "endurance_s", .title = "Endurance", .unit = "s", .change_unit = "s"}, 27.5, 26.0);
    return course;
}

}  // namespace

TEST_CASE("two assessments are told apart beside the published error and no change is claimed") {
    const std::string text = page_of(two_visits());
    CHECK(holds(text, "1 of 2 measures differs from first to now by more than the published error."));
    CHECK(holds(text, "First to now, beyond the published error of +44 % or −31 %: hold 10 s, 3 times: Hold mean 10.0 to 16.0 µV (+60 %)."));
    CHECK(holds(text, "within the published error of +44 % or −31 %: opening rest 20 s: Rest mean 2.3 to 2.5 µV (+9 %)."));
    CHECK(holds(text, "no published error is known: endurance 30 s, 1 time: Endurance 27.50 to 26.00 s (−1.50 s)."));
    CHECK(holds(text, "No claim of a change: 2 days with a value, at least 6 are needed; the published error is of one session, between two visits it may be larger, and so few days show no course."));
    for (const char* claim : {"rose", "fell", "more than the measurement error"}) CHECK_FALSE(holds(text, claim));
    CHECK(holds(text, "not enough; within"));
    CHECK(holds(text, "no published error of this measure is known"));
    CHECK_FALSE(holds(text, "posture: whether"));
    Course unstated = two_visits();
    for (Phase& phase : unstated.phases) phase.posture.clear();
    CHECK(holds(page_of(unstated), "2 sessions without a stated posture: whether it was the same each time is not known"));
}

TEST_CASE("steps of the same kind are told apart and those that are not tested are said to be described only") {
    Course course;
    course.found = course.used = 2;
    for (int step : {1, 2, 3}) {
        Phase phase{.purpose = PlanPurpose::assessment, .posture = "lying", .channel = "EMG", .contraction = StepKind::hold, .step = step};
        phase.step_name = step == 2 ? "hold 10 s, 3 times" : fmt::format("hold 5 s, 3 times (step {})", step + 1);
        phase.first_of_kind = step == 1, phase.twin_step = step != 2;
        phase.lengths = {{step == 2 ? 10.0 : 5.0, 10.0, 1.0}};
        phase.sessions.resize(2);
        MeasureChange change{.key = "hold_mean_uv", .title = "Hold mean", .unit = "µV", .primary = step == 1, .change_unit = "%", .relative = true, .change = 30.0};
        change.baseline = CourseBlock{.value = 10.0}, change.current = CourseBlock{.value = 13.0};
        change.points = {{0, 10.0}, {1, 13.0}};
        if (step == 1) change.statement = Statement::not_enough, change.reason = "2 days";
        phase.measures = {change};
        course.phases.push_back(phase);
    }
    const std::string text = page_of(course);
    CHECK(holds(text, "Described only, and not tested, for an earlier step is of the same kind: hold 10 s, 3 times; hold 5 s, 3 times (step 4)."));
    CHECK(holds(text, "Assessment, hold 5 s, 3 times (step 2)"));
    CHECK(holds(text, "Assessment, hold 5 s, 3 times (step 4)"));
    CHECK(holds(render_text(compose_referrer_report(course, Language::en), {.columns = 10000}), "holds of 5 s (step 2)"));
}

TEST_CASE("a phase is named once and by what tells it from the others") {
    Course course = tested_course();
    Phase& first = course.phases[0];
    first.posture = "lying", first.channel = "EMG PFM", first.processing = "20-450 Hz";
    first.lengths = {{6.0, 9.0, 1.0}};
    MeasureChange rest = first.measures[0];
    rest.title = "Rest mean", rest.change = 3.0;
    first.measures.push_back(rest);
    course.phases.push_back(first);
    course.phases[1].posture = "sitting";
    const std::string text = page_of(course);
    CHECK(holds(text, "    lying: its own figures. No change shown: Rest mean; the figures stand in the table below"));
    CHECK(holds(text, "    sitting: its own figures. No change"));
    CHECK(holds(text, "hold 6 s and 9 s of rest, lying, EMG PFM, raw (20-450 Hz)"));  // the heading of its own section
}

TEST_CASE("recordings of another plan alone are told as that and not as dates that are missing") {
    Course course;
    course.found = course.adherence.other_plans = 3;
    const std::string text = page_of(course);
    CHECK(holds(text, "3 sessions found, all have cues of another plan than the one named: none can be counted."));
    CHECK(holds(text, "No recording has the cues of the plan named for it: nothing can be compared."));
    CHECK_FALSE(holds(text, "column 'start'"));
    CHECK_FALSE(holds(text, "with a date"));
}

TEST_CASE("endurance that did not end stands in the table with its remark and no change") {
    Course course = tested_course();
    MeasureChange lasting{.key = "endurance_s", .title = "Endurance", .unit = "s", .change_unit = "s", .reason = "at least: in 1 of 2 sessions"};
    lasting.points = {{0, 30.0}, {1, 40.0, true, true}};
    lasting.baseline = course.phases[0].measures[0].baseline, lasting.current = course.phases[0].measures[0].current;
    lasting.baseline->value = 30.0, lasting.current->value = 40.0;
    course.phases[0].measures[0].reason = "beyond the measurement error, but the days do not follow one direction";
    course.phases[0].measures.push_back(lasting);
    const std::string text = page_of(course);
    CHECK(holds(text, "no change shown¹"));  // the hold of this course goes beyond its error and follows no direction
    CHECK(holds(text, "¹ beyond the measurement error, but the days do not follow one direction"));
    CHECK(holds(text, "Endurance, s²"));
    CHECK(holds(text, "² at least: in 1 of 2 sessions"));
}

TEST_CASE("of very many recordings that are left out for one reason the rest is counted") {
    Course course = course_on({0, 27}, 6.0);
    for (int i = 0; i < 60; ++i) course.left_out.push_back({"r" + std::to_string(i) + ".edf", "no_date", "no date"});
    course.left_out.push_back({"last.edf", "duplicate", "recorded twice"});
    const std::string text = page_of(course);
    CHECK(holds(text, "r49.edf: no date"));
    CHECK_FALSE(holds(text, "r50.edf"));
    CHECK(holds(text, "last.edf: recorded twice"));
    CHECK(holds(text, "10 more for the same reason as others here (no_date); the JSON of the course names them"));
}

TEST_CASE("of years of sessions the first and the last recordings are listed") {
    Course course = course_on({0, 27}, 6.0);
    Phase phase;
    for (std::size_t i = 0; i < 501; ++i)
        phase.sessions.push_back({.score = i, .source = "r" + std::to_string(i) + ".edf", .since_first_days = static_cast<double>(i)});
    course.phases = {phase};
    const std::string text = page_of(course);
    CHECK(holds(text, "r249.edf "));
    CHECK_FALSE(holds(text, "r250.edf "));
    CHECK(holds(text, "r251.edf "));
    CHECK(holds(text, "of 501 the first and the last 250, the JSON has them all"));
    course.phases[0].sessions.pop_back();
    CHECK(holds(page_of(course), "r250.edf "));
}

TEST_CASE("the time between sessions is told in whole days and in words that fit") {
    CHECK(holds(page_of(course_on({0, 1, 2}, 6.0)), "Never much more than a day from one session to the next."));
    CHECK(holds(page_of(course_on({0, 4, 6}, 6.0)), "At most 4 days from one session to the next."));
}

TEST_CASE("every file and session that is missing is named with its reason") {
    Course course = course_on({0, 1, 2, 3, 4, 5, 6}, 6.0);
    course.refused = {{"broken.edf", "refused", "no such file"}, {"other.csv", "refused", "not a recording"}};
    course.rejected = 1;
    course.left_out = {{"visit.edf", "other_plan", "3 cues of 5 s that do not follow its plan"}};
    Phase phase;
    CourseSession rejected{.score = 4, .source = "open.csv", .usable = false, .reason = "mains hum throughout"};
    phase.sessions = {rejected};
    course.phases = {phase, phase};  // of two steps of one assessment
    for (const std::string& text : {render_text(compose_course_report(course), {.columns = 400}),
                                    render_markdown(compose_course_report(course))}) {
        CHECK(holds(text, "2 files not read or scored"));
        CHECK(holds(
            text, "1 session with a signal that was not usable, 2 files that could not be read or scored, 1 recording left out"));
        CHECK(holds(text, "broken.edf: could not be read or scored: no such file"));
        CHECK(holds(text, "other.csv: could not be read or scored: not a recording"));
        CHECK(holds(text, "open.csv: signal not usable: mains hum throughout"));
        CHECK(text.find("open.csv: signal") == text.rfind("open.csv: signal"));
        CHECK(holds(text, "visit.edf: 3 cues of 5 s"));
    }
}

TEST_CASE("shares say whether a change is of the share or in points") {
    Course course = course_on({0, 1}, 6.0);
    Phase phase;
    phase.sessions.resize(2);
    const auto add = [&](const char* title, const char* unit, bool relative) {
        MeasureChange change{.key = title, .title = title, .unit = unit};
        change.change = 20.0, change.change_unit = "%", change.relative = relative;
        phase.measures.push_back(change);
    };
    add("Hold mean", "µV", true);
    add("Share", "%", true);
    add("Above", "%", false);
    course.phases = {phase};
    const std::string text = page_of(course);
    CHECK(holds(text, "+20 % relative"));
    CHECK(holds(text, "+20 points"));
    CHECK(holds(text, "points: percentage points"));
    course.phases[0].measures[2].change = -20.0;
    course.phases[0].measures[2].needed_fall = 1.0;
    CHECK(holds(page_of(course), "−20 points"));
    CHECK(holds(page_of(course), "1 point¹"));
}

TEST_CASE("a course says how many signals it rests on") {
    Course course = course_on({0, 1}, 6.0);
    course.used = 5, course.rejected = 0;
    CHECK(holds(page_of(course), "5 signals could be scored; no caution on the scored ones."));
    course.rejected = 2;
    CHECK(holds(page_of(course), "5 of 7 signals could be scored; 2 gave no value to what follows; no caution on the scored ones."));
    course.used = course.rejected = 0;
    CHECK(holds(page_of(course), "No session whose signal could be looked at."));
}

TEST_CASE("the value of a single session is shown though nothing can be followed") {
    Course course = course_on({0}, 6.0);
    Phase phase;
    phase.sessions.resize(1);
    MeasureChange change{.key = "hold_mean_uv", .title = "Hold mean", .unit = "µV", .primary = true};
    change.points = {{0, 14.5}};
    change.statement = Statement::not_enough;
    phase.measures = {change};
    course.phases = {phase};
    CHECK(holds(render_markdown(compose_course_report(course)), "| – | 14.5 | 14.5 | – |"));
}

TEST_CASE("the days behind a row and the value of the last session stand with it") {
    const std::chrono::sys_days day = std::chrono::year{2026} / 11 / 1;
    Course course = course_on({0}, 6.0);
    Phase phase;
    for (int i = 0; i < 6; ++i) phase.sessions.push_back({.day = day + std::chrono::days{i}});
    MeasureChange rest{.key = "rest_mean_uv", .title = "Rest mean", .unit = "µV", .primary = true, .change_unit = "%", .relative = true};
    rest.points = {{0, 2.5}, {5, 8.9}};
    rest.baseline = CourseBlock{2.5, day, day + std::chrono::days{2}, 3, 4}, rest.current = CourseBlock{4.0, day + std::chrono::days{5}, day + std::chrono::days{5}, 1, 1};
    MeasureChange hold = rest, release = rest;
    hold.title = "Hold mean", release.title = "Release time";
    release.points.pop_back();
    phase.measures = {release, rest, hold};
    course.phases = {phase};
    const std::string text = render_markdown(compose_course_report(course));
    CHECK(holds(text, "| 2.5 | 4.0 | 8.9 |"));
    CHECK(holds(text, "Days: first 2026-11-01 to 2026-11-03 (3 days, 4 sessions), now 2026-11-06 (1 day, 1 session), last 2026-11-06"));
    CHECK(holds(text, "Release time: first 2026-11-01 to 2026-11-03"));
    CHECK_FALSE(holds(text, "Hold mean: first"));
}

TEST_CASE("a row reads as what it says: no change of nothing, and no claim where there is not enough") {
    Course course = course_on({0}, 6.0);
    Phase phase;
    phase.sessions.resize(2);
    MeasureChange fade{.key = "fade_pct", .title = "Fade", .unit = "%", .change_unit = "%"};
    fade.baseline = CourseBlock{.value = -0.3}, fade.current = CourseBlock{.value = 0.4}, fade.change = 0.7;
    MeasureChange hold{.key = "hold_mean_uv", .title = "Hold mean", .unit = "µV", .primary = true, .change_unit = "%", .relative = true};
    hold.baseline = CourseBlock{.value = 10.0}, hold.current = CourseBlock{.value = 21.0}, hold.change = 110.0;
    hold.needed_rise = 44.0, hold.needed_fall = 30.6, hold.beyond_published = true;
    hold.statement = Statement::not_enough;
    phase.measures = {fade, hold};
    course.phases = {phase};
    const std::string text = render_markdown(compose_course_report(course));
    CHECK(holds(text, "| −0.3 | 0.4 | – | +0.7 points |"));
    CHECK(holds(text, "| 10.0 | 21.0 | – | +110 % | 44 %¹ | 0 | not enough; beyond² |"));
    CHECK(holds(text, "beyond or within the published error, no claim of a change: that error is of one session"));
}

TEST_CASE("sessions of training and assessments are told apart where both are counted") {
    Course course = course_on({0, 2}, 6.0);
    CHECK_FALSE(holds(page_of(course), "of training"));
    Phase training, test;
    training.sessions = {{.score = 0}, {.score = 1}};
    test.purpose = PlanPurpose::assessment;
    test.sessions = {{.score = 2}, {.score = 3, .usable = false}};
    course.phases = {training, test, test};  // a phase for each step
    course.found = 4, course.used = 3, course.rejected = 1;
    CHECK(holds(page_of(course), "4 found, 3 used, 1 not usable, 0 left out; 2 of training, 2 assessments"));
}

TEST_CASE("a question that waits is told with what holds it back") {
    Course course = course_on({0}, 6.0);
    CHECK(holds(page_of(course), "No rule of the table applies."));
    course.waiting = {{"c", "Longer?", "Rest mean not within its target", {"a.csv"}}};
    CHECK_FALSE(holds(page_of(course), "No rule of the table applies."));
    CHECK(holds(page_of(course), "Applies, but waits while this is seen: Rest mean not within its target. Longer?"));
}

TEST_CASE("another threshold is told where its measure is compared") {
    Course course = course_on({0}, 6.0);
    Phase phase;
    phase.sessions.resize(2);
    phase.threshold = Threshold{.microvolts = 25.0};
    phase.threshold_change = ThresholdChange{std::chrono::year{2026} / 4 / 13, {.microvolts = {}, .percent_of_reference = 50.0, .reference_uv = {}}};
    course.phases = {phase};
    CHECK(holds(page_of(course), "threshold 25.0 µV from 2026-04-13 on, 50 % of each session's best second before: time above the threshold is compared"));
}

TEST_CASE("contractions of another length are told before anything that changed") {
    Course course = course_on({0}, 6.0);
    Phase phase;
    phase.posture = "lying";
    phase.sessions.resize(2);
    phase.lengths = {{15.0, 15.0, 1.0}};
    phase.lengths_change = LengthsChange{std::chrono::year{2026} / 4 / 13, {{5.0, 7.0, 1.0}}};
    course.phases = {phase};
    const std::string text = page_of(course);
    CHECK(holds(text, "hold contractions of 15 s and 15 s of rest from 2026-04-13 on, after those of 5 s and 7 s of rest: what was before and after is not compared"));
    CHECK(holds(text, "hold 15 s and 15 s of rest, lying"));
}

TEST_CASE("many sessions in one week are told beside the weeks without any") {
    Course course = course_on({0, 1, 2, 3, 4, 13}, 6.0);
    CHECK_FALSE(holds(page_of(course), "in the weeks they were due"));
    course.adherence.within_dose = 4;
    CHECK(holds(page_of(course), "4 of the 12 prescribed (33 %) in the weeks they were due: 2 more than was due in a week."));
}

TEST_CASE("recordings that may be sessions of the dose are named beside what was counted") {
    Course course = course_on({0, 9}, 6.0);
    course.adherence.impossible_dates = 2, course.adherence.other_plans = 1;
    CHECK(holds(page_of(course), "Not counted, and maybe sessions of the dose: 2 recordings with a date that cannot be right, 1 recording with cues of another plan. "
                                  "A sessions list with a column 'start' says when they were made"));
    course.adherence.impossible_dates = 0;
    CHECK_FALSE(holds(page_of(course), "column 'start'"));
    CHECK(holds(page_of(course), "A sessions list with a column 'plan' says by which each was done"));
    course.adherence.impossible_dates = 2;
    Course none;
    none.found = 6;
    none.adherence.impossible_dates = 6;
    const std::string text = page_of(none);
    CHECK(holds(text, "6 sessions found; 6 carry a date that cannot be right, so what was done cannot be counted by week. A sessions list with a column "
                      "'start' says when they were made (--sessions FILE)."));
    CHECK(holds(text, "Not looked at here: of 6 recordings none has a date that can be right."));
    CHECK(holds(text, "Without dates that can be right no session can be compared with another."));
    CHECK(holds(text, "Is the clock of the recorder set?"));
    CHECK_FALSE(holds(text, "Too few sessions"));
    CHECK_FALSE(holds(text, "No rule of the table applies"));
}

TEST_CASE("a step that is left out stands in the table of steps") {
    Course course = course_on({0, 1}, 6.0);
    CHECK_FALSE(holds(page_of(course), "Which contractions were done"));
    course.adherence.steps = {{0, "hold 6 s, 8 times", 2, 16, 12, 1, 1}};
    const std::string text = render_markdown(compose_course_report(course));
    CHECK(holds(text, "Which contractions were done"));
    CHECK(holds(text, "| hold 6 s, 8 times | 2 | 16 | 12 | 1 | 1 | 2 |"));
}

TEST_CASE("what waits for another question says so beneath it") {
    Course course = course_on({0, 1}, 6.0);
    course.questions = {
        {"a", "Is it time?", "6 of 6", "because", "common practice, no source", {"a.edf"}, {"Is sitting next?"}}};
    CHECK(holds(page_of(course), "one thing is changed at a time (common practice, no source). Is sitting next?"));
}

TEST_CASE("statements questions and what was left out all reach the reader") {
    Course course;
    course.person = "QX-17";
    course.tested_measures = 1;
    Phase phase;
    phase.sessions.resize(2);
    MeasureChange change;
    change.key = "hold_mean_uv";
    change.title = "Hold mean";
    change.unit = "\xC2\xB5V";
    change.primary = true;
    change.statement = Statement::more;
    change.text = "Hold mean rose a good deal";
    phase.measures.push_back(change);
    course.phases.push_back(phase);
    course.questions.push_back({"code", "Is it time?", "6 of 6", "because", "common practice, no source", {"a.edf"}});
    course.left_out.push_back({"b.edf", "duplicate", "recorded twice"});
    for (const std::string& text : {render_text(compose_course_report(course)), render_markdown(compose_course_report(course))}) {
        for (const char* part : {"QX-17", "Hold mean rose a good deal", "Is it time? Seen: 6 of 6.", "because", "recorded twice"}) CHECK(holds(text, part));
    }
}

TEST_CASE("a course that broke off says until when the plan goes and how long nothing came") {
    Course course = course_on({0, 1, 2, 4, 7, 9}, 6.0);
    const std::chrono::sys_days last{std::chrono::year{2026} / 3 / 11};
    course.adherence.prescribed = PrescribedWeeks{12.0, last + std::chrono::days{74}, last, last, last + std::chrono::days{74}, false, 74};
    const std::string text = page_of(course);
    CHECK(holds(text, "At most 3 days from one session to the next, and none in the 74 days after the last, to 2026-05-24."));
    CHECK(holds(text, "The recordings end on 2026-03-11; the plan covers 12 weeks, to 2026-05-24. The time after the last "
                      "recording is not counted as missed."));
    course.adherence.prescribed->counted_on = true;
    CHECK(holds(page_of(course), "The weeks after the last recording are counted, as far as today."));
    course.adherence.prescribed->silent_days = 3;
    CHECK_FALSE(holds(page_of(course), "days after the last"));
    course.adherence.prescribed->last_day = last + std::chrono::days{6};
    CHECK_FALSE(holds(page_of(course), "The recordings end on"));
}

TEST_CASE("measures without a change share a line and each of them one error") {
    Course course;
    Phase phase;
    phase.sessions.resize(2);
    for (const char* title : {"Hold mean", "Rest mean"}) {
        MeasureChange change{.key = title, .title = title, .unit = "µV", .primary = true};
        change.statement = Statement::no_change_shown;
        change.text = "within the measurement error of 17 %";
        change.plateau = Plateau{.text = std::string(title) + " stayed level over the last 42 days with 30 sessions: -1 % over them, 95 % interval -4 to +2 %"};
        phase.measures.push_back(change);
    }
    course.phases = {phase};
    const std::string text = page_of(course);
    CHECK(holds(text, "No change shown: Hold mean, Rest mean; the figures stand in the table below"));
    for (const char* title : {"Hold mean", "Rest mean"})
        CHECK(holds(text, std::string(title) + " stayed level over the last 42 days with 30 sessions: −1 % over them, 95 % interval −4 to +2 %"));
    CHECK_FALSE(holds(text, "17 %"));
}

TEST_CASE("what a change has to exceed is marked where it is a published figure") {
    Course course = tested_course();
    MeasureChange& change = course.phases[0].measures[0];
    CHECK_FALSE(holds(page_of(course), "a published figure"));
    change.error_source = ErrorSource::published;
    const std::string text = page_of(course);
    CHECK(holds(text, "24 %¹"));
    CHECK(holds(text, "¹ a published figure: the means of this person's own days differ by less, or are too few to tell"));
    CHECK(holds(render_markdown(compose_course_report(course)), "| 24 %¹ |"));
    change.needed_rise.reset();  // nobody knows
    CHECK_FALSE(holds(page_of(course), "a published figure"));
}

TEST_CASE("what a statement rests on stands in a table of tested measures alone") {
    Course course = tested_course();
    const std::string text = render_markdown(compose_course_report(course));
    CHECK(holds(text, "| Hold mean, % | +28.0 to +53.0 | +3.1 | −0.4 to +4.2 | 0.002 | 0.0501 | 9.8 | 29.6 |"));
    CHECK(holds(text, "Mann and Kendall, two-sided"));
    course.phases[0].measures[0].statement = Statement::not_enough;
    CHECK_FALSE(holds(render_markdown(compose_course_report(course)), "MDC95"));
    course = tested_course();
    course.phases[0].measures[0].primary = false;
    CHECK_FALSE(holds(render_markdown(compose_course_report(course)), "MDC95"));
}

TEST_CASE("a plan that changed is a line on the page and a mark in the chart") {
    Course course = tested_course();
    course.phases[0].plan_changes = {{std::chrono::year{2026} / 3 / 16, "Home B"}};
    CHECK(holds(page_of(course), "From 2026-03-16 by another plan: Home B."));
    const std::string html = render_html(compose_course_report(course));
    CHECK(holds(html, "<line class=\"change\""));
    CHECK(holds(html, ">Home B</text>"));
    course.phases[0].plan_changes[0].plan.clear();
    CHECK(holds(page_of(course), "From 2026-03-16 by another plan: none."));
}

TEST_CASE("the weeks have their ISO number and the contractions that count") {
    Course course = course_on({0, 1, 8}, 6.0);
    course.adherence.weeks[0].iso_week = 10, course.adherence.weeks[0].counting = 27;
    course.adherence.weeks[1].iso_week = 11, course.adherence.weeks[1].counting = 9;
    const std::string text = render_markdown(compose_course_report(course));
    CHECK(holds(text, "| Contractions that count |"));
    CHECK(holds(text, "| 2 Mar 2026, W10 |"));
    CHECK(holds(text, "| 27 |\n"));
    const std::string html = render_html(compose_course_report(course));
    CHECK(holds(html, "<th scope=\"col\">Contractions that count</th></tr>"));
    CHECK(holds(html, "<th scope=\"row\">9 Mar 2026, W11</th>"));
    CHECK(holds(html, "<td>9</td></tr>"));
}

TEST_CASE("a change beyond the error without a direction is not said to be within it") {
    Course course;
    Phase phase;
    phase.sessions.resize(2);
    course.tested_measures = 2;
    for (const double change : {5.0, 30.0}) {
        MeasureChange each{.key = "hold_mean_uv", .title = "Hold mean", .unit = "µV", .primary = true, .change_unit = "%", .change = change,
                           .needed_rise = 20.0, .needed_fall = 17.0};
        each.statement = Statement::no_change_shown;
        each.text = "its own figures";
        phase.measures.push_back(each);
    }
    course.phases = {phase};
    CHECK(holds(page_of(course), "1 of 2 tested measures went beyond the measurement error, but the days do not follow one direction: no change is shown."));
    CHECK(holds(page_of(course), "its own figures"));
    CHECK_FALSE(holds(page_of(course), "None of 2"));
    Course unsure = course;
    unsure.phases[0].measures[1].slope_per_week = 2.0;
    unsure.phases[0].measures[1].p = 0.03;
    unsure.phases[0].measures[1].p_adjusted = 0.06;
    CHECK(holds(page_of(unsure), "1 of 2 tested measures went beyond the measurement error, and the days go one way, but not surely enough with 2 "
                                 "measures tested together: no change is shown."));
    CHECK_FALSE(holds(page_of(unsure), "do not follow one direction:"));
    for (const double change : {-16.0, -18.0}) {  // a fall has a bound of its own
        course.phases[0].measures[1].change = change;
        CHECK(holds(page_of(course), "None of 2 tested measures moved by more than measurement error.") == (change == -16.0));
    }
    course.phases[0].measures[0].statement = Statement::more;
    CHECK(holds(page_of(course), "1 of 2 tested measures moved by more than measurement error; 1 more went beyond the measurement error"));
}

TEST_CASE("a course says how it was made, by which files and what was corrected by hand") {
    Course course;
    Phase phase;
    phase.processing = "20-450 Hz, moving RMS over 100 ms";
    CourseSession plain{.score = 0, .source = "a.edf", .sha256 = std::string(64, 'a'), .plan = "Home A", .plan_sha256 = std::string(64, 'b')};
    CourseSession corrected{.score = 1, .source = "b.edf"};
    corrected.corrections = {{.action = CorrectionAction::move_onset, .cycle = 2, .from_s = 38.42, .who = "C-04", .when = "2026-03-04"}};
    phase.sessions = {plain, corrected};
    course.phases = {phase, phase};
    const std::string text = page_of(course);
    CHECK(holds(text, "How this was made"));
    CHECK(holds(text, "Home A (SHA-256 " + std::string(64, 'b') + ")"));
    CHECK(holds(text, "20-450 Hz, moving RMS over 100 ms"));
    CHECK(holds(text, "b.edf: Contraction 2: onset moved to 38.42 s, by C-04 on 2026-03-04"));
    CHECK(holds(text, "1 session with corrections by hand"));
    CHECK(holds(text, std::string(16, 'a')));
    CHECK(text.find("b.edf: Contraction 2") == text.rfind("b.edf: Contraction 2"));
    CHECK(holds(page_of(Course{}), "Nothing was corrected by hand."));
    const auto by_rules = [](const std::optional<RulesFile>& rules) {
        return render_text(compose_course_report(Course{}, nullptr, rules), {.columns = 10000});
    };
    CHECK(holds(by_rules({}), "built in"));
    CHECK(holds(by_rules(RulesFile{"own.json", std::string(64, 'e')}), "own.json (SHA-256 " + std::string(64, 'e') + ")"));
    CHECK_FALSE(holds(by_rules(RulesFile{"own.json", std::string(64, 'e')}), "built in"));
    CHECK(holds(by_rules(RulesFile{}), "a table of the service, not named here"));
}

TEST_CASE("what there is not enough for shares one line and not many") {
    Course course;
    Phase phase;
    phase.step_name = "hold 8 s, 5 times";
    phase.sessions.resize(2);
    for (const char* title : {"Hold mean", "Rest mean", "Release time"}) {
        MeasureChange change;
        change.title = title;
        change.primary = true;
        change.statement = Statement::not_enough;
        change.reason = "2 days with a value, at least 6 are needed";
        phase.measures.push_back(change);
    }
    course.phases = {phase, phase};
    const std::string text = render_text(compose_course_report(course), {.columns = 400});
    CHECK(holds(text, "hold 8 s, 5 times, "));
    CHECK(holds(text, "Not enough to say of Hold mean, Rest mean, Release time: 2 days with a value, at least 6 are needed"));
}
