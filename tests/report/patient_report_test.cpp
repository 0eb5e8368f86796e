#include <doctest/doctest.h>

#include <algorithm>

#include "pages/reader_pages.hpp"
#include "report/local_text.hpp"
#include "report/words.hpp"
#include "support/golden.hpp"
#include "support/text_parts.hpp"
#include "tracehold/measures/cycle_view.hpp"
#include "tracehold/report/render.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

// In one line: sentences are broken by the width of the page.
std::string text_of(const Report& report) {
    std::string text = render_text(report, {.columns = 10000});
    return text;
}

std::string page(const SessionScore& score, const PatientPage& page = {}) {
    return text_of(compose_patient_report(score, page));
}

std::string page(const Course& course, const PatientPage& page = {}) {
    return text_of(compose_patient_report(course, page));
}

void set_outcome(SessionScore& score, std::string_view key, double mean, double low, double high) {
    Summary& summary = score.measures[*measure_index(key)];
    summary.mean = mean;
    summary.ci95_low = low;
    summary.ci95_high = high;
    for (TargetOutcome& outcome : score.targets) {
        if (outcome.target.measure != key) continue;
        outcome.value = Estimate::of(mean);
        outcome.met = mean < *outcome.target.below;
    }
}

// Nothing to doubt, everything done and kept.
SessionScore glad_session() {
    SessionScore score = test::made_up_session();
    score.quality.findings.clear();
    std::erase_if(score.cycles, [](const ScoredCycle& each) { return each.cycle.status != CycleStatus::done; });
    score.planned = score.done = score.cycles.size();
    score.missed = score.extra = 0;
    for (ScoredCycle& each : score.cycles) {
        Estimate& release = each.values[*measure_index("release_s")];
        if (!release) release = Estimate::of(0.8, 0.04);
    }
    set_outcome(score, "release_s", 0.7, 0.6, 0.8);
    return score;
}

MeasureChange change_of(std::string key, Statement statement) {
    MeasureChange change;
    change.key = std::move(key);
    change.unit = "µV";
    change.primary = true;
    change.statement = statement;
    return change;
}

Course course_with(std::vector<MeasureChange> changes) {
    Course course;
    course.found = course.used = 10;
    course.adherence.sessions = 10;
    course.adherence.planned_sessions = 12.0;
    course.adherence.weeks.resize(1);
    course.adherence.weeks[0].monday = test::first_day();
    course.adherence.weeks[0].days = {2, 2, 2, 2, 2, 0, 0};
    course.adherence.weeks[0].sessions = 10;
    Phase phase;
    phase.posture = "lying";
    phase.sessions.resize(1);
    phase.measures = std::move(changes);
    course.phases.push_back(phase);
    course.tested_measures = phase.measures.size();
    return course;
}

}  // namespace

TEST_CASE("a whole session in clean signal says what went well and nothing of microvolts") {
    const std::string text = page(glad_session());
    CHECK(holds(text, "What went well"));
    CHECK(holds(text, "You did all 9 squeezes that you were asked for."));
    CHECK(holds(text, "By kind: long squeezes 5 of 5, quick squeezes 4 of 5."));
    CHECK(holds(text, "You held until the signal to let go in all 5 squeezes of 8 seconds."));
    CHECK(holds(text, "After all 9 squeezes, the muscle came to rest."));
    CHECK_FALSE(holds(text, "µV"));
    CHECK_FALSE(holds(text, "Your numbers"));
}

TEST_CASE("microvolts stand on the page where they were asked for with what they are not") {
    const std::string text = page(glad_session(), {.show_microvolts = true});
    CHECK(holds(text, "Best second, µV"));
    CHECK(holds(text, "More is not always better."));
    CHECK(holds(text, "Compare them with your own numbers only"));
}

TEST_CASE("a signal that cannot be trusted gives no statement about the session") {
    SessionScore score = glad_session();
    score.quality.usable = false;
    const std::string text = page(score, {.show_microvolts = true});
    CHECK(holds(text, "could not be read well enough"));
    CHECK(holds(text, "That says nothing about you or your muscle."));
    for (const char* part : {"What went well", "You did", "What to practise", "µV", "goal"})
        CHECK_FALSE(holds(text, part));
    CHECK(holds(text, "Call an ambulance at once"));
}

TEST_CASE("doubt takes the cheer and all that amplitudes would carry") {
    SessionScore score = glad_session();
    set_outcome(score, "rest_mean_uv", 9.0, 8.0, 10.0);
    CHECK(holds(page(score), "busier than your goal for rest"));
    CHECK(holds(page(score), "You reached your line in"));
    score.quality.findings.push_back({"mains", Severity::caution, "hum", {}});
    const std::string text = page(score);
    CHECK_FALSE(holds(text, "What went well"));
    CHECK(holds(text, "What the recording shows"));
    CHECK_FALSE(holds(text, "busier"));
    CHECK_FALSE(holds(text, "your line"));
    CHECK(holds(text, "Take this page as a rough guide."));
    CHECK(holds(text, "Was the muscle as quiet between squeezes as your goal asks? We cannot tell for sure."));
    CHECK_FALSE(holds(text, "more goal"));
}

TEST_CASE("where the electrode may be the cause the page asks to look at it and does not say to go on") {
    const std::string look = "Before the next session, look at the probe, the pads and the cable.";
    const SessionScore glad = glad_session();
    REQUIRE(holds(page(glad), "Go on as your plan says."));
    for (const char* code : {"contact_lost", "reference_off", "mains", "motion", "masked_much", "muscle_not_seen", "low_contrast"}) {
        CAPTURE(code);
        SessionScore score = glad;
        score.quality.findings.push_back({code, Severity::caution, "doubt", {}});
        CHECK(holds(page(score), look));
        CHECK_FALSE(holds(page(score), "Go on as your plan says."));
        score.quality.findings.back().severity = Severity::note;
        CHECK_FALSE(holds(page(score), look));
    }
    SessionScore score = glad;
    score.quality.findings.push_back({"cues_estimated", Severity::caution, "doubt", {}});
    CHECK_FALSE(holds(page(score), look));
}

// Half of the activity is lost within the hold: it was held, but not kept up.
TEST_CASE("a squeeze that faded by more than half is not under what went well") {
    SessionScore score = glad_session();
    const std::string well = "in all 5 squeezes of 8 seconds";
    score.cycles[0].values[*measure_index("fade_pct")] = Estimate::of(-49.9, 3.0);
    CHECK(holds(page(score), well));
    for (std::size_t i : {0u, 1u}) score.cycles[i].values[*measure_index("fade_pct")] = Estimate::of(-67.8, 3.0);
    const std::string text = page(score);
    CHECK_FALSE(holds(text, well));
    const std::size_t faded = text.find(
        "In 2 of 5 squeezes of 8 seconds, you held until the signal. But at the end, the muscle was much less active.");
    CHECK(faded != std::string::npos);
    CHECK(faded > text.find("What to practise"));
    CHECK(holds(text, "Ask your therapist how long to hold."));
    CHECK_FALSE(holds(text, "Go on as your plan says."));
    score.cycles[0].cycle.offset->time_s = score.cycles[0].cycle.work.end_s - 2.0;  // let go early: told as that
    CHECK(holds(page(score), "In 1 of 5 squeezes of 8 seconds, you held until the signal. But"));
    CHECK(holds(page(score, {Language::de}), "aber am Ende war der Muskel viel weniger aktiv"));
    CHECK(holds(page(score, {Language::fr}), "mais à la fin le muscle était bien moins actif"));
}

TEST_CASE("goals without words of their own are told as met as not measured or as something to ask") {
    SessionScore score = glad_session();
    const std::size_t hold = *measure_index("hold_mean_uv");
    score.targets = {{{"hold_mean_uv", std::nullopt, 10.0}, Estimate::of(19.0), true}};
    const auto with_interval = [&](double low, double high) {
        score.measures[hold].ci95_low = low, score.measures[hold].ci95_high = high;
        return page(score);
    };
    CHECK(holds(with_interval(18.0, 20.0), "You met 1 more goal that your therapist set."));
    CHECK(holds(with_interval(8.0, 20.0), "Your therapist set 1 more goal. Ask how it went."));
    score.quality.findings.push_back({"mains", Severity::caution, "hum", {}});
    CHECK(holds(with_interval(18.0, 20.0), "Your therapist set 1 more goal. Ask how it went."));
    score.targets[0].value = Estimate::none("nothing to see");
    CHECK(holds(page(score), "We could not measure 1 of your goals this time."));
    CHECK_FALSE(holds(page(score), "Ask how it went."));
}

TEST_CASE("of a release that began before the cue the patient reads no time and no goal") {
    SessionScore score = glad_session();
    const std::size_t release = *measure_index("release_s");
    for (ScoredCycle& each : score.cycles) {
        each.values[release] = Estimate::none("had let go before the cue");
        each.cycle.offset->time_s = each.cycle.work.end_s - 2.5;
    }
    score.measures[release] = {};
    for (TargetOutcome& outcome : score.targets) {
        if (outcome.target.measure == "release_s") outcome = {outcome.target, Estimate::none("no value"), std::nullopt};
    }
    const std::string text = page(score);
    CHECK_FALSE(holds(text, "let go in about"));
    CHECK_FALSE(holds(text, "of your goals"));
    CHECK_FALSE(holds(text, "Use the whole rest"));
    CHECK(holds(text, "Try to keep on until you are told to let go."));
    score.targets.clear();
    CHECK(holds(page(score), "After all 9 squeezes, the muscle came to rest."));
}

TEST_CASE("where little was done nothing is called well") {
    SessionScore score = glad_session();
    score.planned = 20;
    score.missed = 11;
    const std::string text = page(score);
    CHECK_FALSE(holds(text, "went well"));
    CHECK(holds(text, "We saw 9 of the 20 squeezes that you were asked for."));
    CHECK(holds(text, "We did not see 11 squeezes. If you did them, tell your therapist"));
}

TEST_CASE("nothing is called well where one kind of squeeze was not done") {
    SessionScore score = glad_session();
    CHECK(holds(page(score), "What went well"));
    score.steps.push_back({3, StepKind::endurance, 1, 0, 1, 0, std::vector<Summary>(measure_list().size())});
    CHECK(holds(page(score), "squeezes as long as you can 0 of 1"));
    CHECK_FALSE(holds(page(score), "What went well"));
}

TEST_CASE("where cues or electrode are in doubt the squeezes that were not seen may have been done") {
    for (const char* code : {"cues_out_of_step", "marks_exchanged", "muscle_not_seen", "low_contrast"}) {
        SessionScore score = glad_session();
        score.missed = 3;
        CHECK(holds(page(score), "the probe may have missed them"));
        score.quality.findings.push_back({code, Severity::caution, "doubt", {}});
        CHECK(holds(page(score), "We did not see 3 squeezes at their signals. We cannot tell if you did them."));
        CHECK_FALSE(holds(page(score), "the probe may have missed them"));
    }
}

TEST_CASE("the weeks of a patient say how many squeezes were made out and in how many sessions that was hard") {
    Course course = course_with({});
    course.adherence.counting = 40;
    course.adherence.contractions = 150;
    CHECK(holds(page(course), "We could make out 40 of 150 squeezes."));
    course.cautions = {{"late_release", {"a", "b"}}, {"motion", {"b", "c"}}, {"cues_estimated", {"d"}}};
    CHECK(holds(page(course), "In 3 of them, parts were hard to read. Take this page as a rough guide."));
    course.cautions = {{"cues_estimated", {"d"}}};
    CHECK_FALSE(holds(page(course), "hard to read"));
}

TEST_CASE("training without the recorder is asked about once") {
    Course course = course_with({});
    course.adherence.planned_sessions = 20.0;
    course.questions = {{.code = "adherence_low"}};
    CHECK(holds(page(course), "We found fewer sessions than planned."));
    course.questions = {{.code = "course_broken_off", .later = {"adherence_low"}}};
    course.adherence.prescribed = PrescribedWeeks{12.0, test::first_day() + std::chrono::days{83}, test::first_day(), test::first_day(), test::first_day() + std::chrono::days{83}, true, 63};
    CHECK(holds(page(course), "did you train without the recorder?"));
    CHECK_FALSE(holds(page(course), "if you trained without the recorder"));
}

TEST_CASE("what could not be read is left out of the counts and named") {
    SessionScore score = glad_session();
    score.planned = 12;
    score.unusable = 2;
    const std::string text = page(score);
    CHECK(holds(text, "In the parts that we could read, you did all 9 squeezes."));
    CHECK(holds(text, "2 squeezes could not be read."));
    CHECK(holds(text, "1 squeeze is not in the recording."));
    CHECK_FALSE(holds(text, "9 of"));
}

TEST_CASE("with estimated cues nothing is said of how soon or how long") {
    SessionScore score = glad_session();
    score.cues = CueSource::aligned;
    const std::string text = page(score);
    CHECK_FALSE(holds(text, "until the signal"));
    CHECK_FALSE(holds(text, "came to rest"));
    CHECK(holds(text, "we cannot say how soon you squeezed or let go."));
    CHECK_FALSE(holds(text, "What went well"));
}

TEST_CASE("by cues that the squeezes do not follow nothing is said of how long and none is called unasked") {
    for (const char* code : {"cues_out_of_step", "marks_exchanged"}) {
        SessionScore score = glad_session();
        score.extra = 2;
        CHECK(holds(page(score), "until the signal"));
        CHECK(holds(page(score), "that no signal asked for"));
        score.quality.findings.push_back({code, Severity::caution, "out of step", {}});
        CHECK_FALSE(holds(page(score), "until the signal"));
        CHECK_FALSE(holds(page(score), "that no signal asked for"));
        CHECK_FALSE(holds(page(score), "came to rest"));
        CHECK_FALSE(holds(page(score), "What went well"));
    }
}

TEST_CASE("a recording that ends early was not hard to read and asks what happened") {
    SessionScore score = glad_session();
    score.planned = score.done + 2;
    CHECK(holds(page(score), "2 squeezes are not in the recording."));
    CHECK(holds(page(score), "You did all 9 squeezes that are in the recording."));
    score.quality.findings.push_back({"ends_early", Severity::caution, "ends early", {}});
    const std::string text = page(score);
    CHECK(holds(text, "The recording ends before the last 2 squeezes of your plan. If you did not stop, tell your therapist."));
    CHECK(text.find("Did you stop") == text.rfind("Did you stop"));  // asked once
    CHECK_FALSE(holds(text, "are not in the recording"));
    CHECK_FALSE(holds(text, "hard to read"));
    CHECK_FALSE(holds(text, "Go on as your plan says"));
    CHECK(holds(text, "Did you stop? If it hurt, do not go on, and call."));
    CHECK(holds(text, "Take this page as a rough guide."));
    CHECK(holds(text, "You reached your line"));
    score.quality.findings.back().code = "plan_not_whole";  // by marks
    CHECK(holds(page(score), "Did you stop? If it hurt, do not go on, and call."));
    score.corrections = {{.action = CorrectionAction::drop_cycle, .cycle = 1}, {.action = CorrectionAction::drop_cycle, .cycle = 2}};
    CHECK_FALSE(holds(page(score), "Did you stop?"));
    CHECK(holds(page(score), "2 squeezes were left out by hand."));
    CHECK_FALSE(holds(page(score), "not in the recording"));
}

TEST_CASE("where another muscle may have done the work nothing is praised and the therapist comes first") {
    SessionScore score = glad_session();
    score.quality.findings.push_back({"crosstalk", Severity::caution, "other muscle", {}});
    const std::string text = page(score);
    CHECK(holds(text, "Another muscle was busy in your squeezes. So we cannot tell how well they worked."));
    CHECK(holds(text, "Ask your therapist before you go on."));
    for (const char* part : {"You did", "You held", "came to rest", "You reached", "Go on as your plan says", "went well", "You met"}) {
        CAPTURE(part);
        CHECK_FALSE(holds(text, part));
    }
}

TEST_CASE("a squeeze that is a clinician's word alone is not told as seen") {
    SessionScore score = glad_session();
    ScoredCycle added = score.cycles.back();
    added.cycle.status = CycleStatus::extra;
    score.cycles.push_back(added);
    score.extra = 1;
    REQUIRE(holds(page(score), "We saw 1 squeeze that no signal asked for."));
    score.cycles.back().cycle.corrected = {"added"};
    CHECK(holds(page(score), "We saw 1 squeeze that no signal asked for."));  // its onset was found
    score.cycles.back().cycle.onset.reset();
    CHECK_FALSE(holds(page(score), "no signal asked for"));
}

TEST_CASE("squeezes at marks of another plan are not called coughs and nothing is counted against the plan") {
    SessionScore score = glad_session();
    score.extra = 4;
    REQUIRE(holds(page(score), "4 squeezes that no signal asked for"));
    score.notes.push_back({"marks_beyond_plan", "", "one mark more"});
    CHECK_FALSE(holds(page(score), "no signal asked for"));
    CHECK(holds(page(score), "You did all 9 squeezes"));
    score.missed = 2;
    score.quality.findings.push_back({"marks_beyond_plan", Severity::caution, "other marks", {}});
    const std::string text = page(score);
    CHECK(holds(text, "The signals in this recording are not those of your plan."));
    CHECK(holds(text, "Tell your therapist which plan you trained."));
    for (const char* part : {"cough", "asked for", "By kind", "did not see", "not in the recording", "Go on as your plan says"}) {
        CAPTURE(part);
        CHECK_FALSE(holds(text, part));
    }
    CHECK(holds(text, "You held until the signal to let go"));
    CHECK(holds(text, "Between squeezes, the muscle was as quiet as your goal asks."));  // amplitudes are as good as ever
}

TEST_CASE("a goal is met only where the interval is clear of it") {
    SessionScore score = glad_session();
    set_outcome(score, "time_to_hold_s", 0.8, 0.7, 0.9);
    CHECK(holds(page(score), "You got to your full squeeze in about 0.8 seconds. Your goal is less than 1."));
    set_outcome(score, "time_to_hold_s", 0.97, 0.9, 1.04);
    CHECK(holds(page(score), "You got to your full squeeze in about 0.97 seconds. Your goal is less than 1. We cannot tell for sure if you met it."));
    CHECK_FALSE(holds(page(score), "Squeeze as soon as you are told to."));  // nothing is asked for on what is not sure
    set_outcome(score, "time_to_hold_s", 1.6, 1.4, 1.8);
    CHECK(holds(page(score), "Your full squeeze took about 1.6 seconds. Your goal is less than 1."));
    score.measures[*measure_index("time_to_hold_s")].ci95_low.reset();
    CHECK_FALSE(holds(page(score), "our full squeeze"));
    CHECK(holds(page(score), "We could not measure 1 of your goals this time."));
}

// The mean of those that were released would say what the others took away.
TEST_CASE("a time to let go is not praised where a squeeze was never released") {
    SessionScore score = glad_session();
    set_outcome(score, "release_s", 0.7, 0.6, 0.8);
    CHECK(holds(page(score), "You let go in about 0.7 seconds."));
    score.cycles[0].values[*measure_index("release_s")] = Estimate::none("not released in the rest");
    const std::string text = page(score);
    CHECK_FALSE(holds(text, "You let go in about"));
    CHECK(holds(text, "It took about 0.7 seconds in the 4 squeezes that we could time. After 1 of 5 squeezes, the muscle had not let go "
                      "when the rest was over. Your goal is less than 1 second."));
    CHECK_FALSE(holds(text, "more goal"));
    CHECK(holds(text, "Of 9 squeezes that we could read, the muscle came to rest after 8."));
    CHECK(holds(text, "Use the whole rest to let go."));
    // The mean is of the long ones, and says nothing of a quick one.
    score.cycles[5].values[*measure_index("release_s")] = Estimate::none("not released in the rest");
    CHECK(holds(page(score), "Let go as soon as you are told to. After 2 of 9 squeezes that we could read, the muscle had not let go"));
    CHECK_FALSE(holds(page(score), "that we could time"));
}

TEST_CASE("a hold that was let go before its cue for certain was not held until the signal") {
    SessionScore score = glad_session();
    score.cycles[0].values[*measure_index("release_s")] = Estimate::none(kLetGoBefore);  // as the clinician's page counts it
    const std::string text = page(score);
    CHECK(holds(text, "Of 5 squeezes of 8 seconds that we could read, you held 4 until the signal to let go."));
    CHECK(holds(text, "Try to keep on until you are told to let go."));
}

// By all that is known: the targets that there are, the time it took, and what the rest reads beside the work.
TEST_CASE("the muscle came to rest is said only where nothing on the page speaks against it") {
    const auto says_rest = [](const SessionScore& score) { return holds(page(score), "came to rest"); };
    const SessionScore glad = glad_session();
    REQUIRE(holds(page(glad), "After all 9 squeezes, the muscle came to rest."));
    SessionScore score = glad;
    for (const auto& [low, high] : {std::pair{4.5, 5.5}, std::pair{3.5, 4.5}}) {  // missed, unclear
        set_outcome(score, "rest_mean_uv", (low + high) / 2, low, high);
        CHECK_FALSE(says_rest(score));
    }
    score = glad;
    set_outcome(score, "release_s", 1.4, 1.2, 1.6);
    CHECK_FALSE(says_rest(score));
    score = glad;
    score.settings.envelope.subtract_noise_floor = true;
    CHECK_FALSE(says_rest(score));
    score = glad;
    score.targets.clear();  // late: 5.1 s of a rest of 10 s
    score.cycles[0].values[*measure_index("release_s")] = Estimate::of(5.1);
    CHECK(holds(page(score), "Of 9 squeezes that we could read, the muscle came to rest after 8."));
    CHECK(holds(page(score), "Use the whole rest to let go."));
    for (ScoredCycle& each : score.cycles)  // never let go: rest reads nearly as work
        each.values[*measure_index("rest_mean_uv")] = Estimate::of(0.98 * *each.values[*measure_index("work_mean_uv")].value);
    CHECK_FALSE(says_rest(score));
}

TEST_CASE("a target for rest is not judged where something was taken off the rest") {
    SessionScore score = glad_session();
    set_outcome(score, "rest_mean_uv", 2.0, 1.8, 2.2);
    CHECK(holds(page(score), "as quiet as your goal asks"));
    score.settings.envelope.subtract_noise_floor = true;
    CHECK_FALSE(holds(page(score), "as quiet as your goal asks"));
    CHECK(holds(page(score), "We could not measure 1 of your goals this time."));
}

TEST_CASE("squeezes of another length and those to the end have sentences of their own") {
    SessionScore score = glad_session();
    score.cycles[0].cycle.work.begin_s = score.cycles[0].cycle.work.end_s - 20.0;
    Cycle& last = score.cycles[8].cycle;
    last.kind = StepKind::endurance;
    last.work.end_s = last.work.begin_s + 20.0;
    auto& values = score.cycles[8].values;
    values[*measure_index("endurance_s")] = Estimate::of(7.85);
    values[*measure_index("endurance_censored")] = Estimate::of(0.0);
    CHECK(holds(page(score), "You held until the signal to let go in the squeeze of 20 seconds."));
    CHECK(holds(page(score), "You held until the signal to let go in all 4 squeezes of 8 seconds."));
    const std::string kept = "Your plan has a squeeze as long as you can, up to 20 seconds. ";
    const auto stands_under_practise = [&] { return page(score).find(kept) > page(score).find("What to practise"); };
    CHECK(holds(page(score), kept + "For about 8 seconds of it, the muscle was at least half as active as at the start."));
    CHECK(stands_under_practise());
    CHECK(holds(page(score), "Ask your therapist how long to hold."));
    values[*measure_index("endurance_s")] = Estimate::of(10.0);
    CHECK_FALSE(stands_under_practise());
    values[*measure_index("endurance_s")] = Estimate::of(7.85);
    values[*measure_index("endurance_censored")] = Estimate::of(1.0);
    CHECK(stands_under_practise());  // a lower limit far below what was asked for is no whole
    values[*measure_index("endurance_s")] = Estimate::of(18.4);
    CHECK(holds(page(score), kept + "For about 18 seconds of it"));
    values[*measure_index("endurance_s")] = Estimate::of(20.0);
    CHECK(holds(page(score), kept + "All that time, the muscle was at least half as active as at the start."));
    CHECK_FALSE(stands_under_practise());
}

TEST_CASE("squeezes to the end that were asked for as long are told in one sentence") {
    SessionScore score = glad_session();
    const auto make = [&](std::size_t i, double lasted_s, bool whole) {
        Cycle& cycle = score.cycles[i].cycle;
        cycle.kind = StepKind::endurance;
        cycle.work.end_s = cycle.work.begin_s + 20.0;
        score.cycles[i].values[*measure_index("endurance_s")] = Estimate::of(lasted_s);
        score.cycles[i].values[*measure_index("endurance_censored")] = Estimate::of(whole ? 1.0 : 0.0);
    };
    for (const std::size_t i : {6u, 7u, 8u}) make(i, 20.0, true);
    CHECK(holds(page(score), "Your plan has 3 squeezes as long as you can, up to 20 seconds. All that time, in each, the muscle was"));
    make(7, 16.1, false);
    make(8, 13.2, false);
    CHECK(holds(page(score), "Your plan has 3 squeezes as long as you can, up to 20 seconds. For about 13 seconds of each, or longer, the muscle was"));
    make(6, 5.0, false);
    CHECK(holds(page(score), "Your plan has 2 squeezes as long as you can, up to 20 seconds. For about 13 seconds of each"));
    CHECK(holds(page(score), "Your plan has a squeeze as long as you can, up to 20 seconds. For about 5 seconds of it"));
}

TEST_CASE("a sheet of a session every few days says that and no part of a time") {
    Plan plan = *glad_session().plan;
    plan.dose = {0.1, 7.0, 12.0};
    const auto sheet = [&](Language language) { return text_of(compose_home_sheet(plan, language)); };
    CHECK(holds(sheet(Language::en), "Do this session once in 10 days, for 12 weeks."));
    CHECK(holds(sheet(Language::de), "Üben Sie so einmal in 10 Tagen, für 12 Wochen."));
    CHECK(holds(sheet(Language::fr), "Faites cette séance une fois en 10 jours, pendant 12 semaines."));
    CHECK_FALSE(holds(sheet(Language::en), "0.1"));
    plan.dose = {1.0, 3.5, std::nullopt};
    CHECK(holds(sheet(Language::en), "Do this session once in 2 days."));
    plan.dose = {1.5, 7.0, 12.0};
    CHECK(holds(sheet(Language::en), "Your therapist tells you how often."));
    CHECK_FALSE(holds(sheet(Language::en), "1.5"));
}

TEST_CASE("a sheet says once, twice and how often") {
    Plan plan = *glad_session().plan;
    plan.steps = {{StepKind::hold, 120, 120, 1}, {StepKind::rapid, 1, 4, 2}, {StepKind::endurance, 20, 20, 3}};
    const std::string text = text_of(compose_home_sheet(plan, Language::en));
    CHECK(holds(text, "Squeeze and hold for 120 seconds. Then let go fully for 120 seconds.\n"));
    CHECK(holds(text, "Then let go fully for 4 seconds. Do this twice."));
    CHECK(holds(text, "Then let go for 20 seconds. Do this 3 times."));
    CHECK(holds(text_of(compose_home_sheet(plan, Language::de)), "Üben Sie das zweimal."));
    CHECK(holds(text_of(compose_home_sheet(plan, Language::fr)), "Faites cela deux fois."));
}

TEST_CASE("of two they are called both") {
    CHECK(both_words("You held in all 2 squeezes of 2 seconds.", Language::en) == "You held in both squeezes of 2 seconds.");
    CHECK(both_words("You held in all 12 squeezes of 2 seconds.", Language::en) == "You held in all 12 squeezes of 2 seconds.");
    CHECK(both_words("Alle 2 Anspannungen", Language::de) == "Beide Anspannungen");
    CHECK(both_words("Sie haben alle 2 Anspannungen gemacht", Language::de) == "Sie haben beide Anspannungen gemacht");
    CHECK(both_words("Nach allen 2 Anspannungen", Language::de) == "Nach beiden Anspannungen");
    CHECK(both_words("pour les 2 contractions de 2 secondes", Language::fr) == "pour les deux contractions de 2 secondes");
    SessionScore score = glad_session();
    score.cycles.resize(2);
    score.planned = score.done = 2;
    CHECK(holds(page(score), "You did both squeezes that you were asked for."));
}

TEST_CASE("of a hold that the beginning of the recording cut nothing is said of how long") {
    SessionScore score = glad_session();
    score.cycles[0].cycle.work.begin_s = score.cycles[0].cycle.work.end_s - 3.0;
    CHECK(holds(page(score), "in the squeeze of 3 seconds"));
    score.cycles[0].values[*measure_index("time_to_hold_s")] = Estimate::none(kBegunBefore);
    CHECK_FALSE(holds(page(score), "of 3 seconds"));
}

TEST_CASE("what could not be told apart from a muscle that was still active is not called unseen") {
    SessionScore score = glad_session();
    score.missed = 3;
    score.planned += 3;
    score.quality.findings.push_back({"late_release", Severity::caution, "late", {{1, 2}, {5, 6}}});
    const std::string text = page(score);
    CHECK(holds(text, "We did not see 1 squeeze."));
    CHECK(holds(text, "Use the whole rest to let go."));
    CHECK(holds(text, "Before 2 squeezes, the muscle was busy. So we cannot tell if you squeezed."));
    CHECK(holds(text, "Ask your therapist about the squeezes that we did not see."));
    CHECK_FALSE(holds(text, "Go on as your plan says."));
}

TEST_CASE("common postures are told in each language and others in the clinician's words") {
    SessionScore score = glad_session();
    score.plan->posture = "side_lying";
    CHECK(holds(page(score), "Lie on your side with your knees bent."));
    CHECK(holds(page(score, {Language::de}), "Legen Sie sich auf die Seite"));
    CHECK(holds(page(score, {Language::fr}), "Couchez-vous sur le côté"));
    score.plan->posture = "on a ball";
    CHECK(holds(page(score), "Your plan calls the position \"on a ball\". Do it as you were shown."));
    CHECK(holds(page(score, {Language::de}), "„on a ball“"));
}

TEST_CASE("a hold that ends before the cue is practised and not counted") {
    SessionScore score = glad_session();
    EventTime& offset = *score.cycles[0].cycle.offset;
    offset.time_s = score.cycles[0].cycle.work.end_s - 0.49;
    CHECK(holds(page(score), "in all 5 squeezes of 8 seconds"));
    offset.time_s = score.cycles[0].cycle.work.end_s - 0.51;
    CHECK(holds(page(score), "Of 5 squeezes of 8 seconds that we could read, you held 4 until the signal to let go."));
    CHECK(holds(page(score), "Try to keep on until you are told to let go. Stop sooner if it hurts."));
}

TEST_CASE("all that could be read is not all") {
    SessionScore score = glad_session();
    score.cycles[0].cycle.offset.reset();
    score.cycles[0].values[*measure_index("release_s")] = Estimate::none("too little valid signal");
    const std::string text = page(score);
    CHECK(holds(text, "You held until the signal to let go in all 4 squeezes of 8 seconds that we could read."));
    CHECK(holds(text, "After all 8 squeezes that we could read, the muscle came to rest."));
}

TEST_CASE("a line made of the session itself was never shown and is not spoken of") {
    SessionScore score = glad_session();
    score.plan->threshold = Threshold{std::nullopt, 50.0, std::nullopt};
    CHECK_FALSE(holds(page(score), "your line"));
}

TEST_CASE("no contraction one and five hundred give whole pages") {
    SessionScore none = glad_session();
    none.cycles.clear();
    none.done = 0;
    none.missed = none.planned;
    CHECK(holds(page(none), "We saw no squeeze in this recording. If you did squeeze, tell your therapist"));
    CHECK(holds(page(none), "look at the probe, the pads and the cable"));
    CHECK_FALSE(holds(page(none), "went well"));
    for (const std::size_t count : {1u, 500u}) {
        SessionScore score = test::long_session(count);
        score.quality.findings.clear();
        const std::string text = page(score);
        CHECK(holds(text, count == 1 ? "You did the squeeze that you were asked for."
                                     : "You did all 500 squeezes that you were asked for."));
        CHECK(render_markdown(compose_patient_report(score)).size() < 5000);
    }
    const std::string empty = page(test::made_up_empty_session());
    CHECK(holds(empty, "Your session"));
    CHECK(holds(empty, "could not be read"));
}

TEST_CASE("a session without any value says only what was counted") {
    SessionScore score = glad_session();
    for (ScoredCycle& each : score.cycles) {
        for (Estimate& value : each.values) value = Estimate::none("nothing to see");
        each.cycle.onset.reset();
        each.cycle.offset.reset();
    }
    for (Summary& summary : score.measures) summary = {};
    for (TargetOutcome& outcome : score.targets)
        outcome = {outcome.target, Estimate::none("nothing to see"), std::nullopt};
    score.reference_uv = score.threshold_uv = Estimate::none("nothing to see");
    const std::string text = page(score, {.show_microvolts = true});
    CHECK(holds(text, "You did all 9 squeezes"));
    CHECK(holds(text, "We could not measure 3 of your goals this time."));
    for (const char* part : {"came to rest", "until the signal", "µV", "nothing to see"})
        CHECK_FALSE(holds(text, part));
}

TEST_CASE("a course names a change only where the course does") {
    const std::string text = page(
        course_with({change_of("hold_mean_uv", Statement::more), change_of("rest_mean_uv", Statement::no_change_shown),
                     change_of("release_s", Statement::not_enough)}));
    CHECK(holds(text, "While you held, the muscle was more active than in the first days."));
    CHECK(holds(text, "No change shown: the muscle while you rested."));
    CHECK_FALSE(holds(text, "let go sooner"));
    MeasureChange astray = change_of("rest_mean_uv", Statement::no_change_shown);
    astray.change = 30.0, astray.needed_rise = 20.0, astray.needed_fall = 17.0;
    const std::string both_ways = page(course_with({astray}));
    CHECK(holds(both_ways, "up and down from day to day, so that we cannot call it a change: the muscle while you rested."));
    CHECK_FALSE(holds(both_ways, "A small change may be there"));
    CHECK(holds(page(course_with({change_of("hold_mean_uv", Statement::not_enough)})),
                "It is too soon to say if something changed."));
    Course replanned = course_with({change_of("hold_mean_uv", Statement::more)});
    CHECK_FALSE(holds(page(replanned), "Your plan changed"));
    replanned.phases[0].plan_changes = {{std::chrono::sys_days{std::chrono::year{2026} / 3 / 9}, "B"}};
    CHECK(holds(page(replanned), "Your plan changed on 9 March 2026. What differs after that may come from the plan."));
    CHECK(holds(page(Course{}), "It is too soon to say if something changed."));
    CHECK(holds(page(Course{}), "We found no training in these recordings."));
    Course wrong;
    wrong.adherence.impossible_dates = 2;
    CHECK(holds(page(wrong), "We found no training with a date that can be right."));
}

TEST_CASE("numbers that were asked for are given or it is said why not") {
    const std::string text = page(course_with({}), {.show_microvolts = true});
    CHECK(holds(text, "Your numbers"));
    CHECK(text.find("It is too soon to say") != text.rfind("It is too soon to say"));
    CHECK_FALSE(holds(page(course_with({})), "Your numbers"));
}

TEST_CASE("a course is called well near its dose and neither far below nor far above") {
    Course course = course_with({});
    CHECK(holds(page(course), "What went well"));
    course.adherence.planned_sessions = 20.0;
    CHECK(holds(page(course), "What the recordings show"));
    course.questions = {{.code = "adherence_low"}};
    CHECK(holds(page(course), "We found fewer sessions than planned."));
    course.adherence.planned_sessions = 6.0;
    course.questions = {{.code = "adherence_high"}};
    CHECK(holds(page(course), "What the recordings show"));
    CHECK(holds(page(course), "We found more sessions than planned. More is not always better."));
    course.adherence.planned_sessions.reset();
    CHECK(holds(page(course), "What the recordings show"));
    CHECK_FALSE(holds(page(course), "Your plan asked"));
}

TEST_CASE("sessions outside of the plan's weeks are told beside those that it asked for and called neither more nor fewer") {
    Course course = course_with({});
    const std::size_t held = course.adherence.sessions;
    course.adherence.weeks[0].days = {2, 2, 2, 2, 0, 0, 2};  // Monday to Sunday
    course.adherence.planned_sessions = static_cast<double>(held);
    course.adherence.sessions += 2;
    course.adherence.after_plan = {2, 0, 0};
    CHECK(holds(page(course), fmt::format("We found {} training sessions in", held)));
    CHECK(holds(page(course), fmt::format("Your plan asked for {} in this time.", held)));
    CHECK(holds(page(course), "2 more sessions came outside of the weeks of your plan. You did not have to do them."));
    CHECK(holds(page(course), "What went well"));
}

TEST_CASE("nobody is told to go on while the clinician is asked a question of safety or understanding") {
    const std::string on = "Go on as your plan says.", talk = "Talk with your therapist about this page before you go on.";
    const std::string let_go = "Use the whole rest to let go.";
    for (const char* code : {"resting_activity_above_target", "release_slow", "fading_within_holds", "coactivity_high", "threshold_never_reached", "step_left_out", "own_code"}) {
        CAPTURE(code);
        Course course = course_with({});
        REQUIRE(holds(page(course), on));
        course.questions = {{.code = code}};
        const std::string text = page(course);
        CHECK(holds(text, talk));
        CHECK_FALSE(holds(text, on));
        CHECK_FALSE(holds(text, "What went well"));
        const std::string_view asked = code;
        CHECK(holds(text, let_go) == (asked == "resting_activity_above_target" || asked == "release_slow"));
        CHECK(holds(page(course, {Language::de}), "Sprechen Sie mit Ihrer Fachperson über diese Seite"));
        CHECK(holds(page(course, {Language::fr}), "Parlez de cette page avec votre thérapeute"));
    }
    for (const char* code : {"holds_stay_above_threshold", "posture_mastered"}) {
        Course course = course_with({});
        course.questions = {{.code = code}};
        CHECK(holds(page(course), on));
        CHECK_FALSE(holds(page(course), talk));
    }
}

TEST_CASE("a change that may not be wanted is to be talked over") {
    const std::string talk = "Talk with your therapist about this page before you go on.", let_go = "Use the whole rest to let go.";
    const auto after = [](const char* key, Statement statement) { return page(course_with({change_of(key, statement)})); };
    for (const char* key : {"rest_mean_uv", "release_s"}) {
        CHECK(holds(after(key, Statement::more), talk));
        CHECK(holds(after(key, Statement::more), let_go));
        CHECK(holds(after(key, Statement::less), "Go on as your plan says."));
    }
    for (const char* key : {"hold_mean_uv", "hold_of_reference_pct"}) {
        CHECK(holds(after(key, Statement::less), talk));
        CHECK_FALSE(holds(after(key, Statement::less), let_go));
        CHECK(holds(after(key, Statement::more), "Go on as your plan says."));
    }
}

TEST_CASE("a plan with contractions of another length is told and nothing is compared across") {
    Course course = course_with({change_of("hold_mean_uv", Statement::more)});
    course.phases[0].lengths_change = LengthsChange{std::chrono::year{2026} / 4 / 13, {{5.0, 7.0, 1.0}}};
    CHECK(holds(page(course), "On 13 April 2026 the length of the squeezes or rests in your plan changed. We do not compare before and after."));
}

TEST_CASE("nobody is told that she trained too little by a recorder whose clock was wrong") {
    Course course = course_with({});
    course.phases.clear();
    course.adherence = {};
    course.adherence.impossible_dates = 6;
    for (int i = 0; i < 6; ++i) course.left_out.push_back({"a.csv", "impossible_date", "dated 1985-01-01"});
    const std::string text = page(course);
    CHECK(holds(text, "6 recordings have a date that cannot be right. We could not count them."));
    CHECK(holds(text, "Without the right dates we cannot say if something changed."));
    CHECK_FALSE(holds(text, "It takes more sessions"));
    CHECK_FALSE(holds(text, "recordings were not used"));
}

TEST_CASE("a course that broke off is not called well and asks kindly") {
    Course course = course_with({});
    const auto first = test::first_day();
    course.adherence.prescribed = PrescribedWeeks{12.0, first + std::chrono::days{83}, first + std::chrono::days{20}, first + std::chrono::days{20}, first + std::chrono::days{83}, false, 63};
    CHECK_FALSE(holds(page(course), "went well"));
    CHECK_FALSE(holds(page(course), "Did something get in the way?"));
    course.questions = {{.code = "course_broken_off"}, {.code = "adherence_high"}};
    const std::string text = page(course);
    CHECK_FALSE(holds(text, "We found more sessions"));
    CHECK(holds(text, "Your last recording is of 22 March 2026. Your plan is for the time up to 24 May 2026."));
    CHECK(holds(text, "Did something get in the way?"));
    course.questions.clear();
    course.adherence.prescribed->silent_days = 3;  // it goes on
    CHECK(holds(page(course), "went well"));
    CHECK_FALSE(holds(page(course), "Did something get in the way?"));
}

TEST_CASE("phases of a course are told apart by what differs and the latest of one name is told") {
    Course course = course_with({change_of("hold_mean_uv", Statement::more)});
    Phase sitting = course.phases[0];
    sitting.posture = "sitting";
    sitting.measures = {change_of("hold_mean_uv", Statement::less)};
    course.phases.push_back(sitting);
    Phase later = course.phases[0];
    later.channel = "another";
    later.sessions[0].day = test::first_day() + std::chrono::days{300};
    later.measures = {change_of("hold_mean_uv", Statement::no_change_shown)};
    course.phases.push_back(later);
    const std::string text = page(course);
    CHECK(holds(text, "sitting: While you held, the muscle was less active"));
    CHECK(holds(text, "lying: No change shown: the muscle while you held."));
    CHECK_FALSE(holds(text, "more active"));
}

TEST_CASE("days and decimals are those of the language and a translation says that nobody checked it") {
    const SessionScore score = glad_session();
    const std::string german = page(score, {Language::de, true}), french = page(score, {Language::fr, true});
    CHECK(holds(german, "Ihre Übung am 3. März 2026"));
    CHECK(holds(german, "20,5"));
    CHECK(holds(french, "Votre séance du 3 mars 2026"));
    CHECK(holds(french, "20,5"));
    CHECK(holds(german, sentence(Say::not_reviewed, Language::de)));
    CHECK(holds(french, sentence(Say::not_reviewed, Language::fr)));
    CHECK_FALSE(holds(page(score), sentence(Say::not_reviewed, Language::en)));
    CHECK(holds(render_html(compose_patient_report(score, {Language::de})), "<html lang=\"de\">"));
    CHECK(holds(page(test::made_up_weeks("QX-17"), {Language::de}), "2.3.2026"));
}

TEST_CASE("French seconds are many from two on and no sign of its own begins a line") {
    CHECK(seconds_words(0.7, "0,7", Language::fr) == "0,7 seconde");
    CHECK(seconds_words(2.0, "2,0", Language::fr) == "2,0 secondes");
    CHECK(seconds_words(0.7, "0,7", Language::de) == "0,7 Sekunden");
    CHECK(seconds_words(1.0, "1", Language::en) == "1 second");
    CHECK(holds(page(glad_session(), {Language::fr}), "environ 0,7 seconde à relâcher"));
    for (std::size_t i = 0; i < kSentences; ++i) {
        const std::string text(sentence(static_cast<Say>(i), Language::fr));
        for (const char* part : {" :", " ;", " ?", " !", " »", "« "}) CHECK_MESSAGE(!holds(text, part), text);
    }
}

TEST_CASE("the person stands in the title that each sheet carries and a long code is cut") {
    SessionScore score = glad_session();
    CHECK(compose_patient_report(score).title == "Your session on 3 March 2026: QX-17");
    CHECK(holds(page(score), "Your plan: Weeks 1 and 2."));
    score.recording.person = std::string(10000, 'x');
    CHECK(compose_patient_report(score).title.size() < 120);
    CHECK(render_markdown(compose_patient_report(score)).size() < 6000);
    score.recording.person.clear();
    CHECK(compose_patient_report(score, {Language::fr}).title == "Votre séance du 3 mars 2026");
}

TEST_CASE("weeks of which no signal could be read say so and nothing of the muscle") {
    Course course = course_with({});
    course.used = 0, course.rejected = 10;
    course.adherence.contractions = 48;
    const std::string text = page(course);
    CHECK(holds(text, "We could not read any of them. That says nothing about you or your muscle."));
    CHECK_FALSE(holds(text, "0 of 48"));
    CHECK(holds(page(course, {Language::de}), "Keine davon war zu lesen."));
    CHECK(holds(page(course, {Language::fr}), "Aucune n'a pu être lue."));
}

TEST_CASE("a period within one month names the month once") {
    const auto day = [](int month, unsigned number) {
        return std::chrono::sys_days{std::chrono::year{2026} / month / std::chrono::day{number}};
    };
    CHECK(period_words(day(3, 2), day(3, 13), Language::en) == "2 to 13 March 2026");
    CHECK(period_words(day(3, 2), day(3, 13), Language::de) == "2. bis 13. März 2026");
    CHECK(period_words(day(3, 1), day(3, 13), Language::fr) == "du 1er au 13 mars 2026");
    CHECK(period_words(day(2, 28), day(3, 13), Language::de) == "28. Februar 2026 bis 13. März 2026");
    CHECK(period_words(day(3, 2), day(3, 2), Language::en) == "2 March 2026");
}

// What most people live with is no reason to call an ambulance, and a period none to call: the words must say so.
TEST_CASE("signs that call for help are told from what is long known and from a period") {
    for (const Say sign : {Say::emergency_legs, Say::emergency_numb, Say::emergency_hold}) {
        CHECK(holds(std::string(sentence(sign, Language::en)), "this is new"));
        CHECK(holds(std::string(sentence(sign, Language::de)), "das neu ist"));
        CHECK(holds(std::string(sentence(sign, Language::fr)), "c'est nouveau"));
    }
    for (const Say sign : {Say::stop_bleeding, Say::ask_infection}) {
        CHECK(holds(std::string(sentence(sign, Language::en)), "bleeding that is not your period"));
        CHECK(holds(std::string(sentence(sign, Language::de)), "nicht Ihre Regel ist"));
        CHECK(holds(std::string(sentence(sign, Language::fr)), "qui n'est pas vos règles"));
    }
}

TEST_CASE("signs to stop stand on every page of a patient in every language") {
    for (const Language language : kLanguages) {
        const Plan plan = *test::made_up_session().plan;
        for (const std::string& text :
             {page(glad_session(), {language}), page(test::made_up_empty_session(), {language}),
              page(Course{}, {language}), text_of(compose_home_sheet(plan, language))}) {
            for (const Say sign : {Say::emergency_if, Say::emergency_hold, Say::emergency_pass, Say::stop_if, Say::stop_urine,
                                   Say::ask_first_if, Say::ask_implant, Say::therapist_first, Say::our_number}) {
                CHECK(holds(text, sentence(sign, language)));
            }
            const bool is_sheet = holds(text, sentence(Say::diary, language));
            CHECK(holds(text, sentence(is_sheet ? Say::sheet_limits : Say::patient_limits, language)));
            CHECK(holds(text, sentence(Say::patient_limits, language)) != is_sheet);
        }
    }
}

TEST_CASE("hostile texts stay texts on the pages of patients and referrers") {
    const SessionScore score = test::with_all_texts(test::made_up_session(), test::all_hostile_texts());
    for (const Report& report :
         {compose_patient_report(score), compose_referrer_report(score), compose_home_sheet(*score.plan),
          compose_patient_report(test::made_up_weeks(test::all_hostile_texts())),
          compose_referrer_report(test::made_up_weeks(test::all_hostile_texts()))}) {
        const std::string html = render_html(report), text = render_text(report);
        CHECK_FALSE(holds(html, "<script"));
        CHECK_FALSE(holds(html, "<b>bold"));
        CHECK_FALSE(holds(html, "\xE2\x80\xAE"));
        CHECK_FALSE(holds(text, "\x1b"));
        CHECK_FALSE(holds(text, "\xE2\x80\xAE"));
        CHECK(html.size() < 200000);
    }
}

TEST_CASE("where no signal could be read the patient is not told to wait for more sessions") {
    Course course = course_with({});
    course.rejected = course.used, course.used = 0;
    CHECK(holds(page(course), "We could not read any session well enough to say if something changed."));
    CHECK(holds(page(course, {Language::de}), "Wir konnten keine Sitzung gut genug lesen"));
    CHECK(holds(page(course), "Before the next session, look at the probe"));
    CHECK(holds(page(course, {Language::fr}), "Nous n'avons pu lire aucune séance assez bien"));
    CHECK_FALSE(holds(page(course), "It takes more sessions."));
    Course others;
    others.found = others.adherence.other_plans = 2;
    CHECK(holds(page(others), "2 recordings were of some other plan."));
    CHECK_FALSE(holds(page(others), "It takes more sessions."));
}

TEST_CASE("the weeks of a patient always say how sure they are") {
    Course course = course_with({});
    CHECK(holds(page(course), "How sure is this?"));
    CHECK(holds(page(course), "This page rests on 10 sessions that could be read."));
    CHECK(holds(page(course), "never gives quite the same picture twice"));
    course.left_out = {{"visit.edf", "other_plan", "3 cues of 5 s"}, {"old.edf", "no_date", "no date"}};
    course.refused = {{"a.edf", "refused", "no such file"}, {"b.edf", "refused", "no such file"}};
    CHECK(holds(page(course), "1 recording was of some other plan."));
    CHECK(holds(page(course), "1 recording has no date."));
    CHECK_FALSE(holds(page(course), "was not used: its date"));
    course.left_out.push_back({"twice.edf", "duplicate", "recorded twice"});
    CHECK(holds(page(course), "1 recording was not used: its date"));
    CHECK(holds(page(course), "2 files could not be read."));
    CHECK_FALSE(holds(page(course), "a.edf"));
    CHECK_FALSE(holds(page(course), "tests at the clinic"));
    Phase test;
    test.purpose = PlanPurpose::assessment;
    test.sessions = {{.score = 90}, {.score = 91}, {.score = 92, .usable = false}};
    course.phases.push_back(test);
    CHECK(holds(page(course), "2 of them are from tests at the clinic."));
    test.sessions.resize(1);
    course.phases.back() = test;
    CHECK(holds(page(course), "1 of them is from a test at the clinic."));
    CHECK(holds(page(course), "training sessions in"));
    CHECK(holds(page(course, {Language::de}), "Wie sicher ist das?"));
    CHECK(holds(page(course, {Language::fr}), "Peut-on s'y fier"));
}

TEST_CASE("a patient who was tested at the clinic alone reads who has the results and what the page rests on") {
    Course course;
    course.found = course.used = 8;
    Phase visits{.purpose = PlanPurpose::assessment};
    for (std::size_t i = 0; i < 8; ++i) visits.sessions.push_back({.score = i});
    course.phases = {visits};
    const std::string text = page(course);
    CHECK(holds(text, "We found 8 tests at the clinic and no training at home."));
    CHECK(holds(text, "Your therapist has the results of your tests at the clinic."));
    CHECK(holds(text, "This page rests on 8 tests at the clinic that could be read."));
    CHECK_FALSE(holds(text, "too soon"));
    CHECK_FALSE(holds(text, "more sessions"));
    CHECK_FALSE(holds(text, "Ask your therapist about the tests"));
    CHECK(holds(page(course, {Language::fr}), "Nous avons trouvé 8 tests faits au cabinet et aucune séance à la maison."));
    CHECK(holds(page(course, {Language::fr}), "Cette page repose sur 8 tests faits au cabinet qui ont pu être lus."));
    CHECK_FALSE(holds(page(course, {Language::fr}), "8 séances"));
    CHECK(holds(page(course, {Language::de}), "Diese Seite beruht auf 8 Tests in der Praxis, die zu lesen waren."));
    CHECK_FALSE(holds(page(course, {Language::de}), "zu früh"));
    course.phases[0].sessions.resize(1);
    course.found = course.used = 1;
    CHECK(holds(page(course), "We found 1 test at the clinic and no training at home."));
    CHECK(holds(page(course), "This page rests on 1 test at the clinic that could be read."));
}

TEST_CASE("the pages of patients are the golden ones") {
    CHECK_GOLDEN("patient_en.md",
                 render_markdown(compose_patient_report(test::made_up_session(), {.show_microvolts = true})));
    CHECK_GOLDEN("patient_de.md", render_markdown(compose_patient_report(test::made_up_session(), {Language::de})));
    CHECK_GOLDEN("patient_course_fr.md",
                 render_markdown(compose_patient_report(test::made_up_weeks("QX-17"), {Language::fr})));
    CHECK_GOLDEN("sheet_en.txt", render_text(compose_home_sheet(*test::made_up_session().plan)));
}
