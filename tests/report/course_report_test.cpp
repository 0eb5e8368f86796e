#include <doctest/doctest.h>

#include "tracehold/report/compose_course_report.hpp"
#include "tracehold/report/render.hpp"

using namespace tracehold;

namespace {

bool holds(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("a course with nothing in it says so and still carries limits and cautions") {
    const std::string text = render_text(compose_course_report(Course{}));
    CHECK(holds(text, "0 sessions found, none of them training with a date."));
    CHECK(holds(text, "Too few sessions that can be compared"));
    CHECK(holds(text, "Limits"));
    CHECK(holds(text, "Stop and call"));
}

TEST_CASE("one session is no adherence in percent and no change") {
    Course course;
    course.found = course.used = 1;
    course.adherence.weeks.resize(1);
    course.adherence.planned_sessions = 0.857;
    course.adherence.sessions = 1;
    course.adherence.counting = 15;
    course.adherence.planned_contractions = 2.0;
    const std::string text = render_text(compose_course_report(course));
    CHECK(holds(text, "1 of 1 prescribed sessions in 1 week; 15 contractions done"));
    CHECK_FALSE(holds(text, "117"));
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
    CHECK(holds(text, "not enough to say of Hold mean, Rest mean, Release time: 2 days with a value, at least 6 are needed"));
}
