#include "support/made_up_course.hpp"

namespace tracehold::test {
namespace {

using std::chrono::days;

const std::chrono::sys_days kFirst = std::chrono::year{2026} / 3 / 2;  // a Monday

MeasureChange hold() {
    MeasureChange change{.key = "hold_mean_uv", .title = "Hold mean", .unit = "µV", .primary = true};
    change.points = {{0, 14.25}, {2, 19.5}};
    change.baseline = CourseBlock{14.25, kFirst, kFirst, 1, 1};
    change.current = CourseBlock{19.5, kFirst + days{9}, kFirst + days{9}, 1, 1};
    change.change_unit = "%";
    change.change = 36.8, change.change_low = 12.5, change.change_high = 66.25;
    change.sem = 9.5, change.mdc95 = 28.6;
    change.needed_rise = 28.6, change.needed_fall = 22.2;
    change.error_source = ErrorSource::own_repeats;
    change.slope_per_week = 4.125, change.slope_low = 1.5, change.slope_high = 6.75;
    change.p = 0.004, change.p_adjusted = 0.012;
    change.statement = Statement::more;
    change.text = "Hold mean rose from 14.2 to 19.5 µV (+37 %)";
    change.plateau = Plateau{kFirst + days{2}, kFirst + days{9}, 2, 0.5, -3.0, 4.0, "Hold mean stayed level"};
    return change;
}

MeasureChange release() {
    MeasureChange change{.key = "release_s", .title = "Release time", .unit = "s", .primary = true};
    change.points = {{0, 1.32}, {2, 1.5}};
    change.baseline = CourseBlock{1.32, kFirst, kFirst, 1, 1};
    change.current = CourseBlock{1.5, kFirst + days{9}, kFirst + days{9}, 1, 1};
    change.change_unit = "s";
    change.change = 0.18;
    change.needed_rise = change.needed_fall = 0.75;
    change.statement = Statement::not_enough;
    change.text = "Release time: not enough to say whether it changed";
    change.reason = "2 days with a value, at least 6 are needed";
    return change;
}

// In percent, but changes are differences of percentages.
MeasureChange fade() {
    MeasureChange change{.key = "fade_pct", .title = "Fade", .unit = "%"};
    change.points = {{0, -11.25}};
    change.change_unit = "%";
    change.text = "Fade: described only";
    change.reason = "1 day with a value, at least 6 are needed";
    return change;
}

Phase training() {
    Phase phase;
    phase.posture = "lying";
    phase.channel = "EMG PFM";
    phase.processing = "20-450 Hz, moving_rms, 0.1 s";
    phase.sessions = {{0, "d01.csv", kFirst, 0.0, true, 10, 9, 9},
                      {1, "d03.csv", kFirst + days{2}, 2.25, false, 10, 10, 0, "mains hum throughout"},
                      {3, "d10.csv", kFirst + days{9}, 9.5, true, 12, 12, 11}};
    phase.plan_changes = {{kFirst + days{9}, "Weeks 2 and 3"}};
    phase.measures = {hold(), release(), fade()};
    return phase;
}

Phase assessment() {
    Phase phase;
    phase.purpose = PlanPurpose::assessment;
    phase.channel = "EMG PFM";
    phase.kind = ChannelKind::envelope;
    phase.processing = "envelope as exported";
    phase.contraction = StepKind::rapid;
    phase.step = 1;
    phase.step_name = "rapid 1 s, 5 times";
    phase.sessions = {{2, "visit.edf", kFirst + days{7}, 7.0, true, 9, 9, 9}};
    phase.plan_changes = {{kFirst + days{7}, ""}};
    MeasureChange peak{.key = "peak_uv", .title = "Peak", .unit = "µV"};
    peak.points = {{0, 31.5}};
    peak.change_unit = "%";
    peak.text = "Peak: described only";
    peak.reason = "1 day with a value, at least 6 are needed";
    phase.measures = {peak};
    return phase;
}

Adherence adherence() {
    Adherence adherence;
    adherence.weeks = {{2026, 10, kFirst, 12.0, 2, 120.0, 19, 9, {1, 0, 1, 0, 0, 0, 0}},
                       {2026, 11, kFirst + days{7}, 6.5, 1, 78.0, 12, 11, {0, 0, 1, 0, 0, 0, 0}}};
    adherence.planned_sessions = 18.5;
    adherence.sessions = adherence.within_dose = 3;
    adherence.planned_contractions = 198.0;
    adherence.contractions = 31, adherence.counting = 20;
    adherence.undated_sessions = 1;
    adherence.longest_gap_days = 7.25;
    adherence.counted = {{kFirst, kFirst + days{9}}};
    adherence.without_plan = 1;
    adherence.steps = {{1, "hold 6 s, 10 times", 2, 20, 17, 1, 1}};
    return adherence;
}

}  // namespace

Course made_up_course() {
    Course course;
    course.person = "QX-17";
    course.first = parse_civil_time("2026-03-02T08:00:00");
    course.last = parse_civil_time("2026-03-11T20:00:00+01:00");
    course.found = 6, course.used = 3, course.rejected = 1;
    course.left_out = {{"copy.csv", "duplicate", "recorded twice: the same file as d01.csv"},
                       {"loose.csv", "no_date", "no date: it is in no trend and in no week"}};
    course.adherence = adherence();
    course.phases = {training(), assessment()};
    course.tested_measures = 1;
    course.questions = {{"sit_next",
                         "Is sitting the next posture to try?",
                         "hold 19.5 µV in 1 of the last 1 sessions",
                         "the targets are met lying",
                         "common practice, no source",
                         {"d10.csv"},
                         {"Is a longer hold worth considering?"}}};
    course.refused = {{"broken.edf", "refused", "no such file"}};
    course.notes = {{"plan_changed", "d10.csv", "the plan changed within the course"}};
    return course;
}

Course made_up_empty_course() {
    Course course;
    course.found = 1;
    course.left_out = {{"loose.csv", "no_date", "no date: it is in no trend and in no week"}};
    course.adherence.undated_sessions = 1;
    course.adherence.reason = "no session has a date";
    return course;
}

Course with_all_texts(Course course, const std::string& text) {
    course.person = text;
    for (LeftOut& one : course.left_out) one.source = one.reason = text;
    for (LeftOut& one : course.refused) one.source = one.reason = text;
    for (StepDone& step : course.adherence.steps) step.name = text;
    for (Phase& phase : course.phases) {
        phase.posture = phase.channel = phase.processing = phase.step_name = text;
        for (CourseSession& session : phase.sessions) session.source = session.reason = text;
        for (PlanChange& change : phase.plan_changes) change.plan = text;
        for (MeasureChange& change : phase.measures) change.title = change.text = change.reason = text;
    }
    for (Question& question : course.questions) {
        question.text = question.evidence = question.reason = question.source = text;
        question.sessions = question.later = {text};
    }
    for (Note& note : course.notes) note.place = note.text = text;
    return course;
}

}  // namespace tracehold::test
