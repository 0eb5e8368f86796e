#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <regex>
#include <set>

#include "pages/reader_pages.hpp"
#include "report/words.hpp"
#include "support/golden.hpp"
#include "support/text_parts.hpp"
#include "tracehold/course/rules.hpp"
#include "tracehold/report/compose_course_report.hpp"
#include "tracehold/report/render.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

template <class Subject>
std::string referrer_page(const Subject& subject, Language language = Language::en) {
    return render_text(compose_referrer_report(subject, language), {.columns = 10000});
}

Question question(const std::string& code, const std::string& text) {
    return {code, text, "6 of 6", "because", "common practice, no source", {"a.edf"}};
}

}  // namespace

TEST_CASE("a session shows the referrer means with their error beside targets and never a change") {
    const std::string text = referrer_page(test::made_up_session());
    CHECK(holds(text, "Summary for the referrer: QX-17, 3 March 2026"));
    CHECK(holds(text, "Planned contractions done: 9 of 10. Not seen: 1. Extra: 1."));
    CHECK(holds(text, "A single session cannot show a change."));
    CHECK(holds(text, "target set by the clinician: below 4 µV"));
    CHECK(holds(text, "The signal is to be read with care."));
    CHECK(holds(text, "Found in the signal: cable or electrode moved."));
    CHECK_FALSE(holds(text, "beyond the target"));
}

TEST_CASE("a referrer reads of how many contractions a mean is and no release time below 0") {
    SessionScore score = test::made_up_session();
    Summary& release = score.measures[*measure_index("release_s")];
    release.n = 2, release.mean = 0.83, release.sd = 0.14, release.ci95_low = -0.46, release.ci95_high = 2.11;
    CHECK(holds(referrer_page(score), "release time: 0.83 (0.00–2.11; n = 2) s"));
    release.n = 1, release.sd.reset(), release.ci95_low.reset(), release.ci95_high.reset();
    CHECK(holds(referrer_page(score), "release time: 0.83 (n = 1) s"));
    CHECK(holds(referrer_page(score), "with their 95 % intervals and the number n of contractions:"));
}

TEST_CASE("a referrer reads after how many contractions letting go began before the cue") {
    SessionScore score = test::made_up_session();
    CHECK_FALSE(holds(referrer_page(score), "before the cue to relax"));
    for (std::size_t i : {0u, 2u}) score.cycles[i].values[*measure_index("release_s")] = Estimate::none("had let go before the cue");
    CHECK(holds(referrer_page(score), "Had let go before the cue to relax, so that no release time is given: 2 of 9 contractions done"));
    CHECK(holds(referrer_page(score, Language::de), "2 von 9 ausgeführten Kontraktionen"));
    CHECK(holds(referrer_page(score, Language::fr), "2 contractions sur 9 faites"));
}

TEST_CASE("a referrer reads of fading of exchanged marks and of those of another plan") {
    SessionScore score = test::made_up_session();
    CHECK_FALSE(holds(referrer_page(score), "faded"));
    score.measures[*measure_index("fade_pct")] = {.n = 5, .mean = -67.8, .sd = 3.3, .ci95_low = -71.9, .ci95_high = -63.7};
    score.quality.findings = {{"marks_exchanged", Severity::caution, "exchanged", {}}};
    CHECK(holds(referrer_page(score), "Activity faded within the holds, by 68 % in the mean"));
    CHECK(holds(referrer_page(score), "Found in the signal: marks to contract and to relax probably exchanged."));
    CHECK_FALSE(holds(referrer_page(score), "not those of the plan given"));
    score.quality.findings = {{"marks_beyond_plan", Severity::caution, "other marks", {}}};
    CHECK(holds(referrer_page(score), "The marks are not those of the plan given, so what of it was done cannot be told."));
}

TEST_CASE("contractions that may be chance are not called unseen beside their number") {
    SessionScore score = test::made_up_session();
    score.quality.findings.push_back({"muscle_not_seen", Severity::caution, "work reads as rest does", {}});
    CHECK(holds(referrer_page(score), "contractions mostly not told from rest"));
    CHECK_FALSE(holds(referrer_page(score), "no contraction seen"));
    score.quality.findings.push_back({"low_contrast", Severity::caution, "work reads as rest does", {}});
    CHECK_FALSE(holds(referrer_page(score), "work hardly differs from the rest before"));
    score.done = score.extra = 0;
    CHECK(holds(referrer_page(score), "no contraction seen"));
}

// Every code that a finding of this program is made with, as its source says it.
TEST_CASE("each doubt has a short name for a referrer and one from elsewhere is said to be there") {
    const auto named = [](const std::string& code, Severity severity) {
        SessionScore score = test::made_up_session();
        score.quality.findings = {{code, severity, "text", {}}};
        return referrer_page(score);
    };
    const std::string unnamed = "a doubt that the clinician's page names";
    CHECK(holds(named("of_another_version", Severity::caution), unnamed));
    CHECK_FALSE(holds(named("of_another_version", Severity::note), "Found in the signal"));
    const std::regex made(R"re(\{\s*"([a-z_]+)",\s*Severity::(?:caution|reject))re");
    std::set<std::string> codes;
    for (const char* room : {"clean", "measures"}) {
        for (const auto& entry : std::filesystem::directory_iterator(std::filesystem::path(SOURCE_DIR) / "src" / room)) {
            std::ifstream in(entry.path());
            const std::string text{std::istreambuf_iterator<char>(in), {}};
            for (std::sregex_iterator found(text.begin(), text.end(), made), end; found != end; ++found) codes.insert((*found)[1]);
        }
    }
    CHECK(codes.size() >= 15);
    for (const std::string& code : codes) {
        CAPTURE(code);
        CHECK(holds(named(code, Severity::caution), "Found in the signal: "));
        CHECK_FALSE(holds(named(code, Severity::caution), unnamed));
    }
}

TEST_CASE("a rejected signal carries nothing for a referrer") {
    SessionScore score = test::made_up_session();
    score.quality.usable = false;
    const std::string text = referrer_page(score);
    CHECK(holds(text, "The signal cannot be scored as it is; nothing below rests on it."));
    CHECK_FALSE(holds(text, "µV"));
    CHECK_FALSE(holds(text, "Planned contractions"));
}

TEST_CASE("a course tells the referrer what was done what moved and what is asked") {
    const std::string text = referrer_page(test::made_up_weeks("QX-17"));
    CHECK(holds(text, "QX-17, 3 March 2026 to 24 May 2026"));
    CHECK(holds(text, "Sessions found: 60; used: 60; signal not usable: 0; left out: 0."));
    CHECK(holds(text, "Prescribed sessions done: 60 of 71 (85\xC2\xA0%), in 12 weeks."));
    CHECK(holds(text, "hold mean: from "));
    CHECK(holds(text, "(needed: more than "));
    CHECK(holds(text, "Limits"));
}

TEST_CASE("weeks of which no signal could be scored ask about the electrode") {
    Course course = test::made_up_weeks("QX-17");
    const std::string asks = "Are electrode, reference, contact and cable as they should be?", says = "No signal could be scored";
    CHECK_FALSE(holds(referrer_page(course), asks));
    course.rejected = course.used, course.used = 0;
    CHECK(holds(referrer_page(course), asks));
    CHECK(holds(referrer_page(course), says));
    course.questions.clear();
    CHECK(holds(referrer_page(course), asks));
    CHECK(holds(referrer_page(course, Language::de), "Zuerst sind Elektrode, Kontakt und Kabel zu prüfen"));
}

TEST_CASE("a referrer reads each doubt by what was found") {
    const auto found = [](std::vector<Finding> findings, std::size_t done, std::size_t missed) {
        SessionScore score = test::made_up_session();
        score.quality.findings = std::move(findings);
        score.done = done, score.missed = missed;
        return referrer_page(score);
    };
    CHECK(holds(found({{"low_contrast", Severity::caution, "", {}}}, 7, 8), "contractions mostly not told from rest"));
    CHECK(holds(found({{"low_contrast", Severity::caution, "", {}}}, 15, 0), "work low against the resting activity"));
    CHECK(holds(found({{"reference_differs", Severity::caution, "", {}}}, 15, 0), "unit, gain, electrode or its place to be looked at"));
}

TEST_CASE("more sessions than prescribed are no share beyond all") {
    Course course = test::made_up_weeks("QX-17");
    course.adherence.planned_sessions = 50.0;
    CHECK(holds(referrer_page(course), "Sessions: 60, where 50 were prescribed, in 12 weeks."));
}

TEST_CASE("sessions outside of the plan's weeks are told to a referrer apart from its dose") {
    Course course = test::made_up_weeks("QX-17");
    course.adherence.planned_sessions = 58.0;
    course.adherence.after_plan.sessions = 2;
    CHECK(holds(referrer_page(course), "Prescribed sessions done: 58 of 58 (100\xC2\xA0%), in 12 weeks."));
    CHECK(holds(referrer_page(course), "Sessions outside of the plan's weeks: 2, neither prescribed nor counted as done of those prescribed."));
}

TEST_CASE("what is too short to hold against the dose has no share on any page") {
    Course course = test::made_up_weeks("QX-17");
    course.adherence.sessions = 1;
    course.adherence.planned_sessions = 0.0;
    CHECK(holds(referrer_page(course), "Sessions: 1, in 12 weeks; too short a time to hold against the dose."));
    CHECK_FALSE(holds(referrer_page(course), "Prescribed sessions done"));
    course.adherence.planned_sessions = 3.0;
    course.adherence.sessions = 3;
    course.adherence.counted.clear();
    course.adherence.weeks.resize(1);
    course.adherence.weeks[0].days = {1, 1, 1, 0, 0, 0, 0};
    CHECK(holds(referrer_page(course), "Sessions: 3, in 1 week; too short a time to hold against the dose."));
    CHECK(holds(render_text(compose_course_report(course), {.columns = 10000}), "too short a time to hold against the dose"));
    CHECK_FALSE(holds(render_text(compose_patient_report(course), {.columns = 10000}), "Your plan asked for"));
    course.adherence.weeks[0].days = {1, 1, 0, 0, 0, 0, 1};
    CHECK(holds(referrer_page(course), "Prescribed sessions done: 3 of 3 (100\xC2\xA0%), in 1 week."));
    CHECK_FALSE(holds(render_text(compose_course_report(course), {.columns = 10000}), "too short a time"));
}

TEST_CASE("contractions that were not seen are not called left out where that cannot be told") {
    for (const char* code : {"late_release", "muscle_not_seen", "muscle_seen_in_part", "low_contrast", "cues_out_of_step"}) {
        CAPTURE(code);
        SessionScore score = test::made_up_session();
        CHECK_FALSE(holds(referrer_page(score), "cannot be told"));
        score.quality.findings.push_back({code, Severity::caution, "doubt", {}});
        CHECK(holds(referrer_page(score), "Not seen: 1; whether they were done cannot be told."));
        CHECK(holds(referrer_page(score, Language::de), "Nicht erkannt: 1; ob sie ausgeführt wurden, lässt sich nicht sagen."));
        const bool of_cues = std::string_view(code) == "cues_out_of_step";
        CHECK(holds(referrer_page(score), "Counted at their cues, which may be out of step with the trace.") == of_cues);
    }
}

TEST_CASE("where what was done cannot be told no count of it stands beside") {
    for (const char* code : {"marks_exchanged", "cues_off_plan", "marks_beyond_plan"}) {
        CAPTURE(code);
        SessionScore score = test::made_up_session();
        REQUIRE(holds(referrer_page(score), "Planned contractions done: 9 of 10."));
        score.quality.findings.push_back({code, Severity::caution, "doubt", {}});
        const std::string text = referrer_page(score);
        for (const char* count : {"contractions done: 9", "Not seen:", "Extra:", "Counted at their cues"}) CHECK_FALSE(holds(text, count));
        CHECK((holds(text, "annot be told from this signal.") || holds(text, "what of it was done cannot be told.")));
    }
}

TEST_CASE("a referrer reads of corrections by hand and of what was left out by hand") {
    SessionScore score = test::made_up_session();
    CHECK(holds(referrer_page(score), "Corrections by hand: 1."));
    score.planned += 2;
    CHECK(holds(referrer_page(score), "Not recorded: 2."));
    score.corrections.push_back({.action = CorrectionAction::drop_cycle, .cycle = 1});
    CHECK(holds(referrer_page(score), "Corrections by hand: 2."));
    CHECK(holds(referrer_page(score), "Not recorded: 1. Left out by hand: 1."));
    score.corrections.clear();
    CHECK_FALSE(holds(referrer_page(score), "by hand"));
}

TEST_CASE("hum for part of the time is called by its seconds and not by what it may come from") {
    SessionScore score = test::made_up_session();
    score.quality.findings = {{"reference_off", Severity::caution, "hum", {{10.0, 10.4}, {20.0, 20.3}}}};
    CHECK(holds(referrer_page(score), "Found in the signal: strong mains hum in 0.7 s, left out."));
    CHECK(holds(referrer_page(score, Language::fr), "forte interférence du secteur (0,7 s, écartées)"));
    score.quality.findings = {{"reference_off", Severity::reject, "hum", {}}, {"mains", Severity::caution, "hum", {}}};
    CHECK(holds(referrer_page(score), "Found in the signal: mains hum throughout, as with a loose electrode."));  // the hum once
    score.quality.findings[0].spans = {{10.0, 10.4}};
    CHECK(holds(referrer_page(score), "Found in the signal: strong mains hum in 0.4 s, left out, mains hum."));
}

TEST_CASE("the cautions of a course reach the referrer with a sign") {
    Course course = test::made_up_weeks("QX-17");
    CHECK_FALSE(holds(referrer_page(course), "with a caution"));
    course.used_with_caution = 5;
    course.cautions = {{"late_release", {"a", "b", "c"}}, {"motion", {"a"}}, {"cues_off_plan", {"d"}}, {"marks_brief", {"d", "e"}}};
    const std::string most = "Sessions with a caution: 5 of 60; most often: late or incomplete release (3), cues that do not fit "
                             "the plan (2), cable or electrode moved (1).";
    CHECK(holds(referrer_page(course), most));
    CHECK(holds(referrer_page(course, Language::fr), "Séances avec réserve : 5 sur 60"));
    CHECK(holds(render_html(compose_referrer_report(course, Language::en)), "class=\"sign\""));
}

TEST_CASE("a course that broke off names its last recording and how far the plan goes on") {
    Course course = test::made_up_weeks("QX-17");
    const auto first = test::first_day();
    course.adherence.prescribed = PrescribedWeeks{12.0, first + std::chrono::days{83}, first + std::chrono::days{20}, first + std::chrono::days{20}, first + std::chrono::days{83}, false, 63};
    CHECK(holds(referrer_page(course), "The recordings end on 22 March 2026; the plan covers 12 weeks, to 24 May 2026."));
    CHECK(holds(referrer_page(course), "The time after the last recording is not counted as missed."));
    CHECK(holds(referrer_page(course), "in 12 weeks. None in the 63 days after that, to 24 May 2026."));
    course.adherence.prescribed->counted_on = true;
    CHECK_FALSE(holds(referrer_page(course), "is not counted as missed"));
}

TEST_CASE("contractions of another length and recordings that are not counted are told to a referrer") {
    Course course = test::made_up_weeks("QX-17");
    course.phases[0].lengths = {{15.0, 15.0, 1.0}};
    course.phases[0].lengths_change = LengthsChange{std::chrono::year{2026} / 4 / 13, {{5.0, 7.0, 1.0}}};
    course.adherence.impossible_dates = 2, course.adherence.other_plans = 3;
    CHECK(holds(referrer_page(course), "holds of 15 s and 15 s of rest from 13 April 2026 on, after those of 5 s and 7 s of rest: what was before and after is not compared"));
    CHECK(holds(referrer_page(course), "Recordings without a date that can be right, which are in no week: 2."));
    CHECK(holds(referrer_page(course), "EMG PFM, lying"));
    CHECK(holds(referrer_page(course), "Recordings with cues of another plan, which are not counted: 3."));
}

TEST_CASE("corrections by hand and a subtracted level are named") {
    Course course = test::made_up_weeks("QX-17");
    CHECK_FALSE(holds(referrer_page(course), "by hand"));
    CHECK_FALSE(holds(referrer_page(course), "subtracted"));
    course.phases[0].sessions[1].corrections.resize(2);
    course.phases[0].processing += ", quietest level subtracted";
    CHECK(holds(referrer_page(course), "Sessions with corrections by hand: 1."));
    CHECK(holds(referrer_page(course), "A level of rest was subtracted from the amplitudes"));
}

TEST_CASE("where no hold was done the referrer reads that and no means") {
    SessionScore score = test::made_up_session();
    std::erase_if(score.cycles, [](const ScoredCycle& each) { return each.cycle.kind == StepKind::hold; });
    for (Summary& summary : score.measures) summary = {};
    CHECK(holds(referrer_page(score), "None of the holds was seen, so no means are given."));
}

TEST_CASE("that no change is shown is said once, and of which measures") {
    Course course = test::made_up_weeks("QX-17");
    for (Phase& phase : course.phases) {
        for (MeasureChange& change : phase.measures) {
            if (change.statement) change.statement = Statement::no_change_shown;
            change.change.reset();
        }
    }
    const std::string text = referrer_page(course);
    CHECK(text.find("No change shown: ") != std::string::npos);
    CHECK(text.find("No change shown") == text.rfind("No change shown"));
    CHECK(holds(text, fmt::format("Shown in 0 of {} tested measures.", course.tested_measures)));
}

TEST_CASE("a change beyond the error without a direction has words of its own") {
    Course course = test::made_up_weeks("QX-17");
    Phase phase;
    MeasureChange change{.key = "rest_mean_uv", .unit = "µV", .primary = true, .change_unit = "%", .change = 30.0, .needed_rise = 20.0, .needed_fall = 17.0};
    change.statement = Statement::no_change_shown;
    phase.measures = {change};
    course.phases = {phase};
    course.tested_measures = 1;
    CHECK(holds(referrer_page(course), "Beyond measurement error, but the days do not follow one direction, so that no change is shown:"));
    CHECK(holds(referrer_page(course, Language::de), "Mehr als der Messfehler, aber die Tage folgen nicht einer Richtung"));
    CHECK(holds(referrer_page(course, Language::fr), "les jours ne suivent pas une seule direction"));
    course.phases[0].measures[0].slope_per_week = 4.0;
    course.phases[0].measures[0].p = 0.02;
    course.phases[0].measures[0].p_adjusted = 0.08;
    course.tested_measures = 4;
    CHECK(holds(referrer_page(course), "and the days go one way, but not surely enough with 4 measures tested together, so that no change is shown: rest mean"));
    CHECK(holds(referrer_page(course, Language::de), "die Tage gehen in eine Richtung, aber nicht sicher genug, wenn 4 Größen zusammen geprüft werden"));
    CHECK(holds(referrer_page(course, Language::fr), "les jours vont dans un sens, mais pas assez sûrement avec 4 mesures testées ensemble"));
    CHECK_FALSE(holds(referrer_page(course), "do not follow one direction"));
    CHECK_FALSE(holds(referrer_page(course), "No change shown:"));
    CHECK_FALSE(holds(referrer_page(course), "the plan changed"));
    course.phases[0].plan_changes = {{std::chrono::sys_days{std::chrono::year{2026} / 3 / 9}, "B"}};
    CHECK(holds(referrer_page(course), "the plan changed on 9 March 2026: what differs after it may be the plan's doing"));
}

TEST_CASE("the steps of an assessment are named by what they are and share lines") {
    Course course;
    course.found = course.used = 8;
    const auto step = [&](StepKind kind, double seconds, RestPlace place, const char* key, bool moved) {
        Phase phase{.purpose = PlanPurpose::assessment, .posture = "lying", .channel = "EMG", .contraction = kind, .step_name = "step", .place = place, .lengths = {{seconds, 0.0, 1.0}}};
        MeasureChange change{.key = key, .unit = "µV", .primary = true, .change_unit = "%", .relative = true, .change = moved ? 60.0 : 3.0, .needed_rise = 21.0, .needed_fall = 17.4};
        change.baseline = CourseBlock{.value = 10.0}, change.current = CourseBlock{.value = moved ? 16.0 : 10.3};
        change.statement = moved ? Statement::more : Statement::no_change_shown;
        phase.measures = {change};
        phase.plan_changes = {{std::chrono::sys_days{std::chrono::year{2026} / 3 / 9}, "B"}};
        course.phases.push_back(phase);
        ++course.tested_measures;
    };
    step(StepKind::rest, 20.0, RestPlace::opening, "rest_mean_uv", false);
    step(StepKind::rapid, 1.0, RestPlace::between, "peak_uv", false);
    step(StepKind::hold, 10.0, RestPlace::between, "hold_mean_uv", true);
    step(StepKind::rest, 30.0, RestPlace::closing, "rest_mean_uv", false);
    const std::string text = referrer_page(course);
    CHECK(holds(text, "assessment: holds of 10 s: hold mean: from 10.0 to 16.0"));
    CHECK(holds(text, "assessment: No change shown: rest mean (20 s of rest at the beginning), peak (rapid contractions of 1 s), rest mean (30 s of rest at the end)"));
    CHECK(text.find("the plan changed") == text.rfind("the plan changed"));
    CHECK_FALSE(holds(text, " 0 s"));
    CHECK(holds(referrer_page(course, Language::de), "20 s Ruhe am Anfang"));
    CHECK(holds(referrer_page(course, Language::fr), "30 s de repos à la fin"));
    for (Phase& phase : course.phases) {
        MeasureChange& change = phase.measures[0];
        change.statement = Statement::not_enough, change.needed_rise = 44.0, change.needed_fall = 30.6, change.beyond_published = *change.change > 44.0;
        phase.plan_changes.clear();
    }
    course.tested_measures = 0;
    const std::string few = referrer_page(course);
    CHECK(holds(few, "First to now, beyond the published error of +44 % or −31 %: hold mean (holds of 10 s) +60 %"));
    CHECK(holds(few, "First to now, within the published error of +44 % or −31 %: rest mean (20 s of rest at the beginning) +3 %,"));
    CHECK(holds(few, "so few visits show no course"));
    CHECK_FALSE(holds(few, "Shown in"));
}

TEST_CASE("a course in which no signal could be scored says that and not that sessions are too few") {
    Course course;
    course.found = course.rejected = 9;
    CHECK(holds(referrer_page(course), "No signal could be scored: nothing can be compared."));
    CHECK(holds(referrer_page(course, Language::de), "Kein Signal war auswertbar"));
    CHECK(holds(referrer_page(course, Language::fr), "Aucun signal n'a pu être évalué"));
    CHECK_FALSE(holds(referrer_page(course), "Too few sessions"));
}

TEST_CASE("a course without dates says that they are what is missing") {
    Course course;
    course.found = course.adherence.impossible_dates = 6;
    CHECK(holds(referrer_page(course), "Without dates that can be right no session can be compared"));
    CHECK(holds(referrer_page(course, Language::de), "Ohne Daten, die stimmen können"));
    CHECK(holds(referrer_page(course, Language::fr), "Sans dates plausibles"));
    CHECK(holds(referrer_page(course), "Is the clock of the recorder set?"));
    CHECK(holds(referrer_page(course, Language::de), "Ist die Uhr des Geräts gestellt?"));
    CHECK(holds(referrer_page(course, Language::fr), "L'horloge de l'appareil est-elle réglée"));
    CHECK_FALSE(holds(referrer_page(course), "No question follows"));
    CHECK_FALSE(holds(referrer_page(course), "Too few sessions"));
}

TEST_CASE("an empty course is half a page of what is not known") {
    const std::string text = referrer_page(Course{});
    CHECK(holds(text, "person not named, date not known"));
    CHECK(holds(text, "No training session among the recordings."));
    CHECK(holds(text, "Too few sessions that can be compared"));
    CHECK(holds(text, "No question follows from these figures alone."));
}

TEST_CASE("questions of the built-in table are in the language of the page and others say that they are not") {
    Course course;
    const Rule rule = default_rules()[1];
    course.questions = {question(rule.code, rule.text)};
    const std::string german = referrer_page(course, Language::de);
    CHECK(holds(german, sentence(Say::q_resting, Language::de)));
    CHECK_FALSE(holds(german, rule.text));
    CHECK_FALSE(holds(german, sentence(Say::asked_language, Language::de)));
    course.questions = {question(rule.code, "Is this our own?")};
    CHECK(holds(referrer_page(course, Language::de), "Is this our own?"));
    CHECK(holds(referrer_page(course, Language::de), sentence(Say::asked_language, Language::de)));
    CHECK_FALSE(holds(referrer_page(course), sentence(Say::asked_language, Language::en)));
}

TEST_CASE("a question of a step of an assessment names the step to the referrer") {
    Course course;
    course.phases = {{.purpose = PlanPurpose::assessment, .contraction = StepKind::hold, .step = 2, .step_name = "hold 10 s, 3 times", .lengths = {{10.0, 10.0, 1.0}}}};
    course.questions = {question("own", "Is it one?")};
    course.questions[0].phase = 0;
    CHECK(holds(referrer_page(course), "holds of 10 s: Is it one?"));
    CHECK(holds(referrer_page(course, Language::de), "von 10 s: Is it one?"));
    course.phases[0].purpose = PlanPurpose::training;
    CHECK_FALSE(holds(referrer_page(course), "s: Is it one?"));
}

TEST_CASE("half a page holds three questions") {
    Course course;
    for (const char* text : {"Is it one?", "Is it two?", "Is it three?", "Is it four?"})
        course.questions.push_back(question("own", text));
    const std::string text = referrer_page(course);
    CHECK(holds(text, "Is it three?"));
    CHECK_FALSE(holds(text, "Is it four?"));
}

TEST_CASE("the pages of referrers are the golden ones") {
    CHECK_GOLDEN("referrer_en.txt", render_text(compose_referrer_report(test::made_up_session())));
    CHECK_GOLDEN("referrer_course_de.md",
                 render_markdown(compose_referrer_report(test::made_up_weeks("QX-17"), Language::de)));
}
