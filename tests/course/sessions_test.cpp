#include <doctest/doctest.h>

#include <algorithm>

#include "course/made_course.hpp"
#include "tracehold/core/error.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

SessionScore dated(SessionScore score, const char* start) {
    score.recording.start = parse_civil_time(start);
    return score;
}

std::string left_out(const Course& course, const std::string& code) {
    std::string all;
    for (const LeftOut& one : course.left_out) all += one.code == code ? one.source + ": " + one.reason + "\n" : "";
    return all;
}

bool has_note(const Course& course, const std::string& code) {
    return std::any_of(course.notes.begin(), course.notes.end(), [&](const Note& note) { return note.code == code; });
}

Plan weekly_plan() {
    Plan plan;
    plan.name = plan.sha256 = "Home";
    plan.posture = "lying";
    plan.steps = {{StepKind::rest, 20.0, 0.0, 1}, {StepKind::hold, 6.0, 9.0, 8}};
    plan.dose = {1.0, 7.0, 12.0};
    return plan;
}

std::string course_refusal(const std::vector<SessionScore>& scores) {
    try {
        chart_course(scores);
    } catch (const Error& error) {
        return error.what();
    }
    return "accepted";
}

SessionScore rejected(SessionScore score) {
    score.quality.usable = false;
    score.unusable = score.planned;
    score.done = 0;
    return score;
}

}  // namespace

TEST_CASE("a recording that is there twice counts once") {
    SessionScore copy = with_hold(made_session(0), 15.0);
    copy.recording.source = "z/copy.csv";
    const Course course = course_of({copy, with_hold(made_session(0), 15.0), with_hold(made_session(1), 15.0)});
    CHECK(course.found == 3);
    CHECK(course.used == 2);
    CHECK(course.adherence.sessions == 2);
    CHECK(left_out(course, "duplicate") == "z/copy.csv: the same recording as d000-08.csv: counted once\n");
    SessionScore unhashed = with_hold(made_session(3), 15.0), other = with_hold(made_session(4), 15.0);
    unhashed.recording.sha256 = other.recording.sha256 = "";
    CHECK(course_of({unhashed, other}).used == 2);
}

TEST_CASE("two recordings at one time on one channel count once") {
    SessionScore longer = with_hold(made_session(0, 8.0), 15.0), shorter = with_hold(made_session(0, 8.04), 15.0);
    shorter.recording.duration_s = 250.0;
    shorter.recording.source = "shorter.csv";
    const Course course = course_of({shorter, longer});
    CHECK(course.used == 1);
    CHECK(left_out(course, "overlap") ==
          "shorter.csv: overlaps d000-08.csv by 156 s on the same channel: the two count once\n");
    shorter.recording.channel = "EMG Abd";
    CHECK(course_of({shorter, longer}).left_out.empty());
    CHECK(course_of({with_hold(made_session(0, 8.0), 15.0), with_hold(made_session(0, 8.08), 15.0)}).used == 2);
}

TEST_CASE("two recordings with one start count once and the clock is asked after") {
    SessionScore other = with_hold(made_session(0, 8.0), 15.0);
    other.recording.source = "z.csv";
    other.recording.sha256 = "another";
    const Course course = course_of({other, with_hold(made_session(0, 8.0), 15.0)});
    CHECK(course.used == 1);
    CHECK(left_out(course, "overlap") ==
          "z.csv: starts at the very moment of d000-08.csv on the same channel: the two count once; if the recorder's "
          "clock stood still, a sessions list can say the true starts\n");
}

TEST_CASE("two recordings of a day without their times are two sessions") {
    SessionScore other = with_hold(dated(made_session(0), "2026-03-02"), 15.0);
    other.recording.source = "z.csv";
    other.recording.sha256 = "another";
    const SessionScore one = with_hold(dated(made_session(0), "2026-03-02"), 15.0);
    CHECK(course_of({other, one}).used == 2);
    CHECK(course_of({one, one}).used == 1);  // the same content is one recording
    SessionScore timed = with_hold(dated(made_session(0), "2026-03-02T00:00:01"), 15.0);
    timed.recording.sha256 = "a third";
    CHECK(course_of({timed, one}).used == 1);
}

TEST_CASE("the hour that a night has twice holds two sessions") {
    // The wall clocks overlap, the times on UTC do not: 00:30 and 01:32.
    SessionScore summer = with_hold(dated(made_session(0), "2026-10-25T02:30+02:00"), 15.0);
    SessionScore winter = with_hold(dated(made_session(1), "2026-10-25T02:32+01:00"), 15.0);
    CHECK(course_of({summer, winter}).used == 2);
    CHECK(course_of({winter, summer}).used == 2);
    // Without an offset nobody can know.
    winter.recording.start->utc_offset.reset();
    CHECK(course_of({summer, winter}).used == 1);
    // The same moment said in two zones.
    CHECK(course_of({summer, with_hold(dated(made_session(2), "2026-10-25T00:31Z"), 15.0)}).used == 1);
}

TEST_CASE("an unusable recording yields to the usable one beside it") {
    const SessionScore good = with_hold(made_session(0, 8.04), 15.0);
    SessionScore bad = rejected(made_session(0, 8.0));
    bad.recording.source = "bad.csv";
    const Course course = course_of({bad, good});
    CHECK(course.used == 1);
    CHECK(course.rejected == 0);
    CHECK(left_out(course, "overlap").find("bad.csv") == 0);
}

TEST_CASE("dates that cannot be are named and take no part") {
    std::vector<SessionScore> scores{with_hold(made_session(0), 15.0), with_hold(made_session(1), 15.0)};
    scores.push_back(dated(made_session(2), "1985-01-01T00:10"));
    scores.push_back(dated(made_session(3), "2084-05-01T07:00"));
    const Course without_today = course_of(scores);
    CHECK(without_today.used == 2);
    CHECK(without_today.adherence.weeks.size() == 1);
    CHECK(left_out(without_today, "impossible_date").find("dated 1985-01-01: the recorder's clock was never set") !=
          std::string::npos);
    CHECK(left_out(without_today, "impossible_date").find("dated 2084-05-01: years ahead of the other sessions") !=
          std::string::npos);
    CourseSettings settings;
    settings.today = first_day();
    CHECK(course_of(scores, settings).used == 2);  // a day ahead may be another time zone
    settings.today = first_day() - std::chrono::days{1};
    CHECK(left_out(course_of(scores, settings), "impossible_date").find("2026-03-03: in the future") !=
          std::string::npos);
}

TEST_CASE("sessions without a date are counted and named") {
    SessionScore undated = with_hold(made_session(5), 15.0);
    undated.recording.start.reset();
    const Course course = course_of({undated, with_hold(made_session(0), 15.0)});
    CHECK(course.found == 2);
    CHECK(course.used == 1);
    CHECK(course.adherence.undated_sessions == 1);
    CHECK(left_out(course, "no_date") == "d005-08.csv: no date: it is in no trend and in no week\n");
    CHECK(has_note(course, "one_session"));
    const Course none = course_of({undated});
    CHECK(none.phases.empty());
    CHECK(none.adherence.weeks.empty());
    CHECK(has_note(none, "nothing_to_compare"));
    CHECK_FALSE(none.first);
}

TEST_CASE("no session at all is an empty course") {
    const Course course = course_of({});
    CHECK(course.found == 0);
    CHECK(course.phases.empty());
    CHECK(course.person.empty());
    CHECK(course.notes.empty());
    CHECK(people_of({}).empty());
}

TEST_CASE("rejected sessions count as held and say nothing of the muscle") {
    std::vector<SessionScore> scores;
    for (int day = 0; day < 10; ++day) scores.push_back(rejected(with_hold(made_session(day), 15.0)));
    const Course course = chart_course(scores);
    CHECK(course.used == 0);
    CHECK(course.rejected == 10);
    CHECK(course.adherence.sessions == 10);
    CHECK(course.adherence.contractions == 80);
    CHECK(course.adherence.counting == 0);
    REQUIRE(course.phases.size() == 1);
    CHECK(course.phases.front().measures.empty());
    CHECK(course.questions.empty());
    CHECK(has_note(course, "all_rejected"));
}

TEST_CASE("two persons are named and refused") {
    SessionScore other = made_session(1);
    other.recording.person = "K-11";
    const std::string text = course_refusal({other, made_session(0)});
    CHECK(text.find("recordings of 2 persons: saw 'C-07' and 'K-11', expected one person") != std::string::npos);
    SessionScore third = made_session(2);
    third.recording.person = "L-12";
    CHECK(course_refusal({other, made_session(0), third}).find("3 persons: saw 'C-07' and 'K-11' among others, expected") != std::string::npos);
    CHECK(text.find("--person") != std::string::npos);
    CHECK(text.find("--by-person") != std::string::npos);
    const std::vector<SessionScore> both{other, made_session(0), made_session(2)};
    CHECK(people_of(both) == std::vector<std::string>{"C-07", "K-11"});
    CHECK(select_person(both, "C-07").size() == 2);
    CHECK_THROWS_WITH_AS(select_person(both, "C-70"), doctest::Contains("saw 'C-70', expected one of 'C-07', 'K-11'"),
                         Error);
}

TEST_CASE("another person is never suggested and hidden ones are not listed") {
    std::vector<SessionScore> scores{made_session(0)};
    const auto said = [&] {
        try {
            select_person(scores, "C-70");
        } catch (const Error& error) {
            return std::string(error.what());
        }
        return std::string();
    };
    CHECK(said().find("saw 'C-70', expected 'C-07'") != std::string::npos);
    CHECK(said().find("did you mean") == std::string::npos);
    scores[0].settings.identity = IdentityLevel::pseudonym;
    CHECK(said().find("C-07") == std::string::npos);
    scores[0].settings.identity = IdentityLevel::keep;
    scores[0].recording.person = "";
    CHECK(said().find("no recording names anybody") != std::string::npos);
    scores.clear();
    for (int i = 0; i < 57; ++i) {
        scores.push_back(made_session(i));
        scores.back().recording.person = fmt::format("K-{:02}", i);
    }
    CHECK(said().find("'K-19' ... (57 in all)") != std::string::npos);
    CHECK(said().find("K-20") == std::string::npos);
}

TEST_CASE("a visit that was scored by the home plan is no session of it") {
    const Plan home = weekly_plan();
    std::vector<SessionScore> scores;
    for (int day = 0; day < 14; ++day) scores.push_back(with_cues(with_hold(made_session(day), 15.0), home, home));
    scores.push_back(with_cues(with_hold(made_session(-4), 27.0), visit_plan(), home));
    const Course course = course_of(scores);
    CHECK(course.adherence.sessions == 14);
    CHECK(course.adherence.weeks.size() == 2);
    REQUIRE(course.phases.size() == 1);
    CHECK(course.phases[0].sessions.size() == 14);
    CHECK(left_out(course, "other_plan").find("3 cues of 5 s that do not follow its plan 'Home'") != std::string::npos);
    CHECK(course.found == course.used + course.rejected + course.left_out.size());
    CHECK(*find_change(course.phases[0], "hold_mean_uv")->change == doctest::Approx(0.0));

    scores.back().plan = visit_plan();
    const Course named = course_of(scores);
    CHECK(named.left_out.empty());
    CHECK(named.adherence.sessions == 14);
    CHECK(named.phases.size() == 2);
}

// All contractions of such a visit dropped by a clinician: nothing is left to count its cues by.
TEST_CASE("a session of another plan without any contraction is named all the same") {
    SessionScore emptied = made_session(0);
    emptied.plan = weekly_plan();
    emptied.quality.findings.push_back({.code = "cues_off_plan", .severity = Severity::caution, .text = "the cue marks do not fit the plan"});
    const Course course = course_of({emptied});
    REQUIRE(has_note(course, "nothing_to_compare"));
    CHECK(course.notes.back().text == "every recording has cues of another plan than the one named for it: nothing can be followed over time");
    CHECK(left_out(course, "other_plan").find(": cues that do not follow its plan 'Home'") != std::string::npos);
}

TEST_CASE("sessions that another version of the program scored are told") {
    std::vector<SessionScore> scores = {made_session(0), made_session(1), made_session(2)};
    CHECK_FALSE(has_note(course_of(scores), "other_program_version"));
    scores[1].tool_version = "0.0.7";
    scores.push_back(scores[1]);  // a duplicate takes no part
    const Course course = course_of(scores);
    const auto note = std::find_if(course.notes.begin(), course.notes.end(), [](const Note& one) { return one.code == "other_program_version"; });
    REQUIRE(note != course.notes.end());
    CHECK(note->text.starts_with("1 of 3 sessions was scored by another version of the program (0.0.7; this one is "));
}

TEST_CASE("cues that were not marked contradict no plan") {
    const Plan home = weekly_plan();
    SessionScore fitted = with_cues(made_session(0), visit_plan(), home);
    for (const CueSource source : {CueSource::aligned, CueSource::start, CueSource::trace}) {
        fitted.cues = source;
        CHECK(course_of({fitted}).left_out.empty());
    }
    SessionScore extra = with_cues(made_session(0), home, home);
    for (int i = 0; i < 40; ++i) {
        extra.cycles.push_back({});
        extra.cycles.back().cycle.status = CycleStatus::extra;
    }
    CHECK(course_of({extra}).left_out.empty());
}

TEST_CASE("a session without a plan counts by its cues or is named") {
    const Plan home = weekly_plan();
    SessionScore planned = with_cues(made_session(0), home, home), alike = with_cues(made_session(1), home, home);
    SessionScore other = with_cues(made_session(2), visit_plan(), home), silent = made_session(3);
    alike.plan = other.plan = silent.plan = std::nullopt;
    const Course course = course_of({planned, alike, other, silent});
    CHECK(course.adherence.sessions == 2);
    CHECK(course.adherence.without_plan == 2);
    const Course reversed = course_of({[&] {
                                           SessionScore early = alike;
                                           early.recording.start = made_session(-8).recording.start;
                                           early.recording.sha256 = "early";
                                           return early;
                                       }(),
                                       planned});
    CHECK(*reversed.adherence.planned_sessions == doctest::Approx(9.0));  // once a day by the plan that its cues follow
    CHECK(has_note(course, "sessions_without_plan"));
    const Course none = course_of({alike, other, silent});
    CHECK(none.adherence.sessions == 3);
    CHECK(none.adherence.without_plan == 0);
}

TEST_CASE("inputs that gave no session stand with the course") {
    const Course course = course_of({made_session(0)}, {.refused = {{"a.csv", "refused", "no such file"}}});
    REQUIRE(course.refused.size() == 1);
    CHECK(course.refused[0].source == "a.csv");
    CHECK(course.found == 1);
    CHECK(course.left_out.empty());
}

TEST_CASE("a rejected session says why") {
    SessionScore rejected = made_session(0);
    rejected.quality.usable = false;
    rejected.quality.findings.push_back({.code = "x", .severity = Severity::caution, .text = "some hum"});
    rejected.quality.findings.push_back({.code = "y", .severity = Severity::reject, .text = "an open electrode"});
    CHECK(course_of({rejected}).phases[0].sessions[0].reason == "an open electrode");
    rejected.quality.findings.clear();
    CHECK(course_of({rejected}).phases[0].sessions[0].reason == "the signal was rejected");
    CHECK(course_of({made_session(0)}).phases[0].sessions[0].reason.empty());
}

TEST_CASE("a session in which the electrode saw no muscle is held, gives no value, and misses nothing") {
    std::vector<SessionScore> scores = {with_hold(made_session(0), 10.0), with_hold(made_session(1), 160.0), with_hold(made_session(2), 11.0)};
    for (SessionScore& score : scores) {
        score.plan = visit_plan();
        score.plan->purpose = PlanPurpose::training;
        score.steps = {{.step = 1, .planned = 3, .missed = 3}};
    }
    scores[1].quality.findings = {{"muscle_not_seen", Severity::caution, "nothing shows in the trace", {}}};
    scores[1].done = 0;
    const Course course = course_of(scores);
    CHECK(course.used == 2);
    CHECK(course.rejected == 1);
    CHECK(course.used_with_caution == 0);
    CHECK(course.adherence.sessions == 3);
    REQUIRE(course.adherence.steps.size() == 1);
    CHECK(course.adherence.steps[0].missed == 6);
    const CourseSession& unseen = course.phases[0].sessions[1];
    CHECK_FALSE(unseen.usable);
    CHECK(unseen.reason == "nothing shows in the trace");
    CHECK(unseen.counting == 0);
    for (const MeasureChange& measure : course.phases[0].measures) CHECK(measure.points.size() == 2);
    scores[1].quality.findings[0].code = "muscle_seen_in_part";
    CHECK(course_of(scores).used == 3);
}

TEST_CASE("recordings that hold the same samples under other names are told, and count") {
    const auto measured = [](int day, double value) {
        SessionScore score = made_session(day);
        score.cycles.resize(1);
        for (int i = 0; i < 8; ++i) score.cycles[0].values.push_back(Estimate::of(value + i));
        return score;
    };
    std::vector<SessionScore> scores = {measured(0, 1.5), measured(1, 2.5), measured(2, 1.5), measured(3, 1.5 + 1e-15)};
    const Course course = course_of(scores);
    CHECK(course.used == 4);
    const auto note = std::find_if(course.notes.begin(), course.notes.end(), [](const Note& one) { return one.code == "same_samples"; });
    REQUIRE(note != course.notes.end());
    CHECK(note->text.starts_with("1 recording holds the same samples as an earlier one under another name, date or header (d002-08.csv as d000-08.csv): "));
    for (SessionScore& score : scores) score.cycles[0].values.pop_back();  // too few numbers to say so
    CHECK_FALSE(has_note(course_of(scores), "same_samples"));
}

TEST_CASE("recordings that name nobody join with a note") {
    SessionScore unnamed = made_session(1);
    unnamed.recording.person = "";
    const Course course = course_of({unnamed, made_session(0)});
    CHECK(course.person == "C-07");
    CHECK(has_note(course, "person_not_stated"));
    CHECK_FALSE(has_note(course_of({unnamed}), "person_not_stated"));
}
