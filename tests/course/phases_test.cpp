#include <doctest/doctest.h>

#include <algorithm>
#include <functional>

#include "course/made_course.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::vector<SessionScore> two_with(const std::function<void(SessionScore&)>& change) {
    std::vector<SessionScore> scores{with_hold(made_session(0), 15.0), with_hold(made_session(1), 15.0)};
    change(scores.back());
    return scores;
}

std::size_t phases_with(const std::function<void(SessionScore&)>& change) {
    return course_of(two_with(change)).phases.size();
}

Plan home_plan(const std::string& name, int times = 8) {
    Plan plan;
    plan.name = name;
    plan.sha256 = name;
    plan.posture = "lying";
    plan.steps = {{StepKind::rest, 20.0, 0.0, 1}, {StepKind::hold, 6.0, 9.0, times}};
    plan.dose = {2.0, 6.0, 12.0};
    return plan;
}

SessionScore with_plan(SessionScore score, Plan plan) {
    score.plan = std::move(plan);
    return score;
}

SessionScore assessment(int day, double hold_uv, double rapid_uv, double rest_uv = 3.0) {
    Plan plan;
    plan.name = "assessment";
    plan.sha256 = "assessment";
    plan.posture = "lying";
    plan.steps = {{StepKind::rest, 30.0, 0.0, 1},
                  {StepKind::rapid, 1.0, 4.0, 5},
                  {StepKind::hold, 10.0, 10.0, 3},
                  {StepKind::endurance, 60.0, 30.0, 1}};
    SessionScore score = with_plan(with_hold(made_session(day), hold_uv), plan);
    for (const int step : {1, 2, 3}) {
        SessionScore part = with_hold(made_session(day), step == 1 ? rapid_uv : hold_uv);
        score.steps.push_back(
            {.step = step, .kind = plan.steps[static_cast<std::size_t>(step)].kind, .measures = part.measures});
    }
    score.rests = {{.step = 0, .window = {}, .mean_uv = Estimate::of(rest_uv), .cv_pct = {}}};
    return score;
}

}  // namespace

TEST_CASE("sessions are compared only under equal conditions") {
    CHECK(phases_with([](SessionScore&) {}) == 1);
    CHECK(phases_with([](SessionScore& s) { s.recording.posture = "Lying"; }) == 1);
    CHECK(phases_with([](SessionScore& s) { s.recording.posture = "sitting"; }) == 2);
    CHECK(phases_with([](SessionScore& s) { s.recording.channel = "EMG 2"; }) == 2);
    CHECK(phases_with([](SessionScore& s) { s.recording.kind = ChannelKind::envelope; }) == 2);
    CHECK(phases_with([](SessionScore& s) { s.high_hz = 225.0; }) == 2);
    CHECK(phases_with([](SessionScore& s) { s.envelope_method = EnvelopeMethod::rectified; }) == 2);
    CHECK(phases_with([](SessionScore& s) { s.settings.envelope.subtract_noise_floor = true; }) == 2);
    CHECK(phases_with([](SessionScore& s) { s.summary_kind = StepKind::rapid; }) == 2);
    CHECK(phases_with([](SessionScore& s) { s.recording.site = "B"; }) == 1);
}

TEST_CASE("windows of one length in whole samples are one processing") {
    const auto at = [](double rate_hz, double samples) {
        return [=](SessionScore& s) {
            s.recording.rate_hz = rate_hz;
            s.envelope_window_s = samples / rate_hz;
            s.high_hz = std::min(450.0, 0.45 * rate_hz);
        };
    };
    const auto phases = [&](auto a, auto b) {
        auto scores = two_with(b);
        a(scores[0]);
        return course_of(scores).phases;
    };
    CHECK(phases(at(1000.0, 101.0), at(2000.0, 201.0)).size() == 1);
    CHECK(phases(at(1000.0, 101.0), at(999.7, 101.0)).size() == 1);
    CHECK(phases(at(1000.0, 101.0), at(1000.0, 105.0)).size() == 2);
    CHECK(phases(at(1000.0, 101.0), at(2000.0, 209.0)).size() == 2);
    CHECK(phases(at(1000.0, 101.0), at(900.0, 91.0)).size() == 2);  // a lower low-pass
    CHECK(phases(at(1000.0, 101.0), at(2000.0, 201.0))[0].processing == "20-450 Hz, moving RMS over 100 ms");
}

TEST_CASE("an unstated posture is a phase of its own with a note") {
    const Course course = course_of(two_with([](SessionScore& s) { s.recording.posture = ""; }));
    REQUIRE(course.phases.size() == 2);
    CHECK(course.phases[1].posture.empty());
    const auto noted = [&](const char* code) {
        return std::any_of(course.notes.begin(), course.notes.end(),
                           [&](const Note& note) { return note.code == code; });
    };
    CHECK(noted("posture_not_stated"));
    CHECK(noted("conditions_differ"));
}

TEST_CASE("a changed plan is a line in its phase") {
    const Course course =
        course_of({with_plan(made_session(0), home_plan("A")), with_plan(made_session(1), home_plan("A")),
                   with_plan(made_session(5), home_plan("B")), with_plan(made_session(6), home_plan("B"))});
    REQUIRE(course.phases.size() == 1);
    REQUIRE(course.phases[0].plan_changes.size() == 1);
    CHECK(course.phases[0].plan_changes[0].plan == "B");
    CHECK(course.phases[0].plan_changes[0].day == first_day() + std::chrono::days{5});
    CHECK(course.phases[0].sessions.size() == 4);
}

TEST_CASE("assessments are compared step by step and apart from training") {
    std::vector<SessionScore> scores{assessment(0, 20.0, 25.0, 4.0), assessment(80, 30.0, 26.0, 3.0)};
    for (int day = 1; day < 80; ++day) scores.push_back(with_plan(with_hold(made_session(day), 12.0), home_plan("A")));
    const Course course = course_of(scores);
    REQUIRE(course.phases.size() == 5);
    CHECK(course.phases[0].step_name == "opening rest 30 s");
    CHECK(course.phases[0].contraction == StepKind::rest);
    CHECK(course.phases[1].step_name == "rapid 1 s, 5 times");
    CHECK(course.phases[2].step_name == "hold 10 s, 3 times");
    CHECK(course.phases[3].step_name == "endurance 60 s, 1 time");
    CHECK(course.phases[4].purpose == PlanPurpose::training);
    CHECK(course.phases[4].sessions.size() == 79);
    CHECK(course.adherence.sessions == 79);
    REQUIRE(course.phases[0].measures.size() == 1);
    CHECK(course.phases[0].measures[0].key == "rest_mean_uv");
    CHECK(*course.phases[0].measures[0].change == doctest::Approx(-25.0));
    const MeasureChange* rapid = find_change(course.phases[1], "hold_mean_uv");
    const MeasureChange* hold = find_change(course.phases[2], "hold_mean_uv");
    REQUIRE(rapid != nullptr);
    REQUIRE(hold != nullptr);
    CHECK(*rapid->change == doctest::Approx(4.0));
    CHECK(*hold->change == doctest::Approx(50.0));
    CHECK(hold->statement == Statement::not_enough);
    CHECK(hold->beyond_published == true);
    CHECK_FALSE(rapid->statement);
    CHECK(course.used == 81);
}

TEST_CASE("of an assessment one measure is tested for each kind of step") {
    std::vector<SessionScore> scores;
    for (int i = 0; i < 8; ++i) {
        SessionScore score = assessment(14 * i, 20.0 + i, 25.0);
        score.plan->steps.push_back({StepKind::hold, 5.0, 10.0, 3});
        score.plan->steps.push_back({StepKind::rest, 30.0, 0.0, 1});
        score.steps.push_back({.step = 4, .kind = StepKind::hold, .measures = score.steps[1].measures});
        score.rests.push_back({.step = 5, .window = {}, .mean_uv = Estimate::of(3.0 + 0.1 * i), .cv_pct = {}});
        for (StepScore& step : score.steps) {
            for (const char* key : {"peak_uv", "rest_mean_uv", "release_s", "hold_mean_uv"}) step.measures[*measure_index(key)].mean = 5.0 + 0.1 * i;
        }
        score.steps[2].measures[*measure_index("endurance_s")].mean = 20.0 + i;
        scores.push_back(std::move(score));
    }
    const Course course = course_of(scores);
    REQUIRE(course.phases.size() == 6);
    std::vector<std::string> tested;
    for (const Phase& phase : course.phases) {
        for (const MeasureChange& change : phase.measures) {
            if (change.statement) tested.push_back(phase.step_name + ": " + change.key);
        }
    }
    CHECK(tested == std::vector<std::string>{"opening rest 30 s: rest_mean_uv", "rapid 1 s, 5 times: peak_uv",
                                             "hold 10 s, 3 times: hold_mean_uv", "endurance 60 s, 1 time: endurance_s"});
    CHECK(course.tested_measures == 4);
    CHECK(std::none_of(course.notes.begin(), course.notes.end(), [](const Note& note) { return note.code == "conditions_differ"; }));
}

TEST_CASE("steps of one kind and length are told apart by their numbers") {
    std::vector<SessionScore> scores;
    for (int i = 0; i < 2; ++i) {
        SessionScore score = made_session(14 * i);
        score.plan = visit_plan();
        score.plan->steps = {{StepKind::rest, 20.0, 0.0, 1}, {StepKind::hold, 5.0, 10.0, 3}, {StepKind::hold, 10.0, 10.0, 3},
                             {StepKind::hold, 5.0, 10.0, 3}, {StepKind::rest, 20.0, 0.0, 1}};
        for (int step = 1; step <= 3; ++step) {
            score.steps.push_back({.step = step, .kind = StepKind::hold, .measures = score.measures});
            Summary& hold = score.steps.back().measures[*measure_index("hold_mean_uv")];
            hold.n = 3, hold.mean = 10.0 + step + i;
        }
        scores.push_back(std::move(score));
    }
    const Course course = course_of(scores);
    std::vector<std::string> names;
    for (const Phase& phase : course.phases) names.push_back(phase.step_name);
    CHECK(names == std::vector<std::string>{"hold 5 s, 3 times (step 2)", "hold 10 s, 3 times", "hold 5 s, 3 times (step 4)"});
    CHECK(course.phases[0].twin_step);
    CHECK_FALSE(course.phases[1].twin_step);
    CHECK(find_change(course.phases[2], "hold_mean_uv")->change);
    CHECK_FALSE(find_change(course.phases[2], "hold_mean_uv")->statement);
}

TEST_CASE("a rest step of a rejected assessment gives no value") {
    SessionScore rejected = assessment(80, 30.0, 26.0);
    rejected.quality.usable = false;
    const Course course = course_of({assessment(0, 20.0, 25.0), rejected});
    REQUIRE(course.phases[0].sessions.size() == 2);
    CHECK(course.phases[0].measures[0].points == std::vector<CoursePoint>{{0, 3.0}});
}

TEST_CASE("of endurance that did not end no change is told") {
    const auto lasting = [](int day, double seconds, double censored) {
        SessionScore score = assessment(day, 20.0, 25.0);
        for (const auto& [key, value] : {std::pair("endurance_s", seconds), std::pair("endurance_censored", censored)})
            score.steps[2].measures[*measure_index(key)].mean = value;
        return score;
    };
    const auto change_of = [](const std::vector<SessionScore>& scores) {
        const Course course = course_of(scores);
        const MeasureChange* found = find_change(course.phases[3], "endurance_s");
        REQUIRE(found != nullptr);
        return *found;
    };
    const MeasureChange ended = change_of({lasting(0, 30.0, 0.0), lasting(80, 45.0, 0.0)});
    CHECK(*ended.change == doctest::Approx(15.0));
    CHECK(lower_limits(ended) == 0);
    const MeasureChange limit = change_of({lasting(0, 30.0, 0.0), lasting(80, 60.0, 1.0)});
    CHECK(lower_limits(limit) == 1);
    CHECK_FALSE(limit.change);
    CHECK_FALSE(limit.slope_per_week);
    CHECK(limit.baseline->value == doctest::Approx(30.0));
    CHECK(limit.current->value == doctest::Approx(60.0));
    CHECK(limit.reason == "at least: in 1 of 2 sessions it lasted as long as it was asked to, and how long it would have is not known");
}

namespace {

Plan hold_plan(double work_s, double rest_s, int times = 8) {
    Plan plan = home_plan("hold", times);
    plan.steps = {{StepKind::rest, 20.0, 0.0, 1}, {StepKind::hold, work_s, rest_s, times}, {StepKind::rapid, 1.0, 4.0, 5}};
    plan.sha256 = plan.name = fmt::format("hold {} {} {}", work_s, rest_s, times);
    return plan;
}

// Twelve sessions by each plan, half a week apart; a muscle that fades, so that a longer hold reads a lower mean.
std::vector<SessionScore> changed_in_mid_course(const Plan& before, const Plan& after) {
    std::vector<SessionScore> scores;
    for (int i = 0; i < 24; ++i) {
        SessionScore score = with_plan(made_session(7 * (i / 2) + 3 * (i % 2)), i < 12 ? before : after);
        const double fade = i < 12 ? 1.0 : 0.68;
        set_value(score, "hold_mean_uv", fade * (12.0 + 0.1 * (i % 3)));
        set_value(score, "release_s", 1.2 / fade);
        scores.push_back(std::move(score));
    }
    return scores;
}

bool any_claim(const Course& course) {
    return std::any_of(course.phases.begin(), course.phases.end(), [](const Phase& phase) {
        return std::any_of(phase.measures.begin(), phase.measures.end(), [](const MeasureChange& change) {
            return change.statement == Statement::more || change.statement == Statement::less;
        });
    });
}

}  // namespace

TEST_CASE("contractions of another length are not compared with those before") {
    const Course course = course_of(changed_in_mid_course(hold_plan(5, 7), hold_plan(15, 15)));
    REQUIRE(course.phases.size() == 2);
    CHECK_FALSE(any_claim(course));
    const Phase &before = course.phases[0], &after = course.phases[1];
    CHECK(before.lengths == std::vector<Lengths>{{5.0, 7.0, 1.0}});
    CHECK(after.lengths == std::vector<Lengths>{{15.0, 15.0, 1.0}});
    CHECK_FALSE(before.lengths_change);
    CHECK(before.lengths_given_up);
    REQUIRE(after.lengths_change);
    CHECK(after.lengths_change->day == first_day() + std::chrono::days{42});
    CHECK(after.lengths_change->before == before.lengths);
    CHECK_FALSE(after.lengths_given_up);
    CHECK(lengths_apart(after) == "hold contractions of 15 s and 15 s of rest from 2026-04-13 on, after those of 5 s and 7 s of rest: "
                                  "what was before and after is not compared");
    CHECK(std::any_of(course.notes.begin(), course.notes.end(), [&](const Note& note) {
        return note.code == "lengths_changed" && note.text == lengths_apart(after);
    }));
    CHECK(course.adherence.sessions == 24);  // both are held against the dose
}

TEST_CASE("a rest of another length parts sessions too; a number of contractions, a threshold or a dose does not") {
    CHECK(course_of(changed_in_mid_course(hold_plan(5, 7), hold_plan(5, 14))).phases.size() == 2);
    Plan same = hold_plan(5, 7, 12);
    same.threshold = Threshold{.microvolts = 9.0};
    same.dose = {1.0, 3.0, 6.0};
    const Course course = course_of(changed_in_mid_course(hold_plan(5, 7), same));
    REQUIRE(course.phases.size() == 1);
    CHECK(any_claim(course));
    CHECK(course.phases[0].plan_changes.size() == 1);
    Plan mixed = hold_plan(5, 7, 6), shifted = hold_plan(5, 7, 3);
    mixed.steps.push_back({StepKind::hold, 10.0, 7.0, 6});
    shifted.steps.push_back({StepKind::hold, 10.0, 7.0, 9});
    CHECK(course_of(changed_in_mid_course(mixed, shifted)).phases.size() == 2);  // more of the longer ones
}

TEST_CASE("time above a threshold is compared under the one now in force only") {
    Plan before = hold_plan(5, 7), after = hold_plan(5, 7, 12);
    before.threshold = Threshold{.percent_of_reference = 50.0, .reference_uv = 25.0};
    after.threshold = Threshold{.microvolts = 25.0};
    auto scores = changed_in_mid_course(before, after);
    for (std::size_t i = 0; i < scores.size(); ++i) set_value(scores[i], "above_threshold_pct", i < 12 ? 90.0 : 40.0 + static_cast<double>(i % 2));
    const Course course = chart_course(scores);
    REQUIRE(course.phases.size() == 1);
    const Phase& phase = course.phases[0];
    REQUIRE(phase.threshold_change);
    CHECK(threshold_apart(phase) == "threshold 25.0 µV from 2026-04-13 on, 12.5 µV before: time above the threshold is compared under the one now in force only");
    const MeasureChange* above = find_change(phase, "above_threshold_pct");
    REQUIRE(above != nullptr);
    CHECK(above->points.size() == 24);
    CHECK(compared_points(*above) == 12);
    CHECK(*above->change == doctest::Approx(0.0));
    CHECK(above->baseline->from == first_day() + std::chrono::days{42});
    CHECK(compared_points(*find_change(phase, "hold_mean_uv")) == 24);
    CHECK(std::any_of(course.notes.begin(), course.notes.end(), [&](const Note& note) { return note.code == "threshold_changed" && note.text == threshold_apart(phase); }));
    after.threshold = Threshold{.microvolts = 12.5};  // said in another way
    CHECK_FALSE(chart_course(changed_in_mid_course(before, after)).phases[0].threshold_change);
}

TEST_CASE("cues stand for a plan that is not named, when lengths are compared") {
    const Plan by = hold_plan(5, 7), other = hold_plan(15, 15);
    const auto unnamed = [](int day, const Plan& performed) {
        SessionScore score = with_hold(with_cues(made_session(day), performed, performed), 15.0);
        score.plan.reset();
        return score;
    };
    const auto phases = [](SessionScore a, SessionScore b) { return course_of({std::move(a), std::move(b)}).phases.size(); };
    CHECK(phases(with_plan(made_session(0), by), unnamed(1, by)) == 1);
    CHECK(phases(with_plan(made_session(0), by), unnamed(1, other)) == 2);
    CHECK(phases(unnamed(0, by), unnamed(1, by)) == 1);
    CHECK(phases(unnamed(0, by), unnamed(1, other)) == 2);
    CHECK(phases(unnamed(0, by), with_plan(made_session(1), by)) == 1);
    CHECK(phases(with_plan(made_session(0), by), made_session(1)) == 2);  // nobody knows what was asked for
}

TEST_CASE("questions are asked of the contractions that are asked for now") {
    const auto slow = [](const Course& course) {
        return std::count_if(course.questions.begin(), course.questions.end(), [](const Question& one) { return one.code == "release_slow"; });
    };
    Plan before = hold_plan(5, 7), after = hold_plan(15, 15);
    for (Plan* plan : {&before, &after}) plan->targets = {{"release_s", 1.0, std::nullopt}};
    auto scores = changed_in_mid_course(before, after);
    CHECK(slow(chart_course(scores)) == 1);
    for (std::size_t i = 12; i < 24; ++i) set_value(scores[i], "release_s", 0.5);
    CHECK(slow(chart_course(scores)) == 0);
}
