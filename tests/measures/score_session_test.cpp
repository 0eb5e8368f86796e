#include "tracehold/measures/score_session.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "measures/made_session.hpp"
#include "tracehold/core/error.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

// Two holds of 5 s at 20 µV and two quick ones of 1 s at 30 µV, rests between.
MadeSession training() {
    std::vector<Cycle> cycles{made_cycle(10, 15, 25), made_cycle(25, 30, 40), made_cycle(40, 41, 45, StepKind::rapid),
                              made_cycle(45, 46, 50, StepKind::rapid)};
    for (Cycle& cycle : cycles) cycle.step = cycle.kind == StepKind::hold ? 1 : 2;
    MadeSession made = boxes(200, 2.0, 20.0, cycles);
    for (std::size_t i = 8000; i < 9200; ++i) {
        if (made.envelope.uv[i] > 10.0f) made.envelope.uv[i] = 30.0f;
    }
    made.plan.source = "plan.json";
    made.plan.posture = "lying";
    made.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 10, 2}, {StepKind::rapid, 1, 4, 2}};
    made.with_plan = true;
    return made;
}

const Summary& summary(const SessionScore& score, const char* key) { return score.measures[*measure_index(key)]; }

Estimate threshold(const Threshold& threshold) {
    MadeSession made = training();
    made.plan.threshold = threshold;
    return made.score().threshold_uv;
}

}  // namespace

TEST_CASE("a session counts its cycles and summarises its holds") {
    const SessionScore score = training().score();
    CHECK(score.planned == 4);
    CHECK(score.done == 4);
    CHECK(score.missed == 0);
    CHECK(score.summary_kind == StepKind::hold);
    CHECK(summary(score, "work_mean_uv").n == 2);
    CHECK(*summary(score, "work_mean_uv").mean == doctest::Approx(20.0));
    CHECK(*summary(score, "rest_mean_uv").mean == doctest::Approx(2.0));
    REQUIRE(score.steps.size() == 2);
    CHECK(score.steps[0].step == 1);
    CHECK(score.steps[0].planned == 2);
    CHECK(score.steps[1].kind == StepKind::rapid);
    CHECK(*score.steps[1].measures[*measure_index("work_mean_uv")].mean == doctest::Approx(30.0));
    CHECK(*score.reference_uv.value == doctest::Approx(30.0));
    CHECK(score.reference_cycle == 3);
    for (const ScoredCycle& cycle : score.cycles) CHECK(cycle.values.size() == measure_list().size());
}

namespace {

// Rest, two quick contractions, rest, a hold, rest: 10 s at 2 µV, 10 s at 3 µV, 12 s in which 2 and 4 µV take turns.
MadeSession assessed() {
    const std::vector<Cycle> cycles{made_cycle(10, 11, 15, StepKind::rapid), made_cycle(15, 16, 30, StepKind::rapid), made_cycle(30, 35, 57)};
    MadeSession made = boxes(200, 2.0, 20.0, cycles);
    made.envelope = made_envelope(200, 57.0, [](double t) {
        const bool work = (t >= 10 && t < 11) || (t >= 15 && t < 16) || (t >= 30 && t < 35);
        return work ? 20.0 : t < 20 ? 2.0 : t < 45 ? 3.0 : std::fmod(t, 1.0) < 0.5 ? 2.0 : 4.0;
    });
    for (std::size_t i = 0; i < 3; ++i) made.cycles.cycles[i].step = i < 2 ? 1 : 3;
    made.plan.posture = "lying";
    made.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::rapid, 1, 4, 2}, {StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 10, 1}, {StepKind::rest, 12, 0, 1}};
    made.with_plan = true;
    return made;
}

std::vector<std::string> rest_reasons(const MadeSession& made) {
    std::vector<std::string> reasons;
    for (const RestScore& rest : made.score().rests) {
        CHECK(rest.mean_uv.reason == rest.cv_pct.reason);
        reasons.push_back(rest.mean_uv.reason);
    }
    return reasons;
}

}  // namespace

TEST_CASE("each rest step is measured from its settling on where the contractions beside it place it") {
    const SessionScore score = assessed().score();
    CHECK(score.steps.size() == 2);
    REQUIRE(score.rests.size() == 3);
    const std::vector<int> steps{0, 2, 4};
    const std::vector<TimeSpan> windows{{1, 10}, {21, 30}, {46, 57}};
    const std::vector<double> means{2.0, 3.0, 3.0};
    for (std::size_t i = 0; i < 3; ++i) {
        CAPTURE(i);
        CHECK(score.rests[i].step == steps[i]);
        REQUIRE(score.rests[i].window);
        CHECK(score.rests[i].window->begin_s == doctest::Approx(windows[i].begin_s));
        CHECK(score.rests[i].window->end_s == doctest::Approx(windows[i].end_s));
        CHECK(*score.rests[i].mean_uv.value == doctest::Approx(means[i]));
    }
    CHECK(*score.rests[1].cv_pct.value == doctest::Approx(0.0));
    // Half of the samples 1 µV below and half 1 µV above 3 µV, n = 2200.
    CHECK(*score.rests[2].cv_pct.value == doctest::Approx(100.0 / 3.0 * std::sqrt(2200.0 / 2199.0)));
}

TEST_CASE("the error of a rest step is that of the rest mean") {
    MadeSession made = assessed();
    std::mt19937_64 random(7);
    std::normal_distribution<float> noise(0.0F, 2.0F);
    for (float& x : made.clean.uv) x = noise(random);
    const Estimate own = made.score().rests[0].mean_uv;
    MadeSession alone = made;  // the same stretch as the rest after a contraction
    alone.with_plan = false;
    alone.cycles.cycles = {made_cycle(-2.0, 0.0, 10.0)};
    REQUIRE(own.error);
    CHECK(own == alone.value("rest_mean_uv"));
}

TEST_CASE("a rest step without a number says why") {
    const std::string none;
    CHECK(rest_reasons(assessed()) == std::vector<std::string>{none, none, none});

    MadeSession masked = assessed();
    mask(masked.envelope, 2, 6);
    CHECK(rest_reasons(masked) == std::vector<std::string>{"less than 70 % of the window is valid signal", none, none});

    MadeSession cut = assessed();  // it ends 7 s into the last rest
    cut.envelope.uv.resize(200 * 52);
    cut.clean.uv.resize(200 * 52);
    CHECK(rest_reasons(cut)[2] == "less than 70 % of the window is valid signal");

    MadeSession stopped = assessed();
    stopped.cycles.cycles.pop_back();
    CHECK(rest_reasons(stopped) == std::vector<std::string>{none, none, "the contractions beside it have no place in the recording"});

    MadeSession hurried = assessed();
    hurried.cycles.cycles[2].work = {25, 30};
    hurried.cycles.cycles[1].rest.end_s = 25;
    CHECK(rest_reasons(hurried)[1] == "the next contraction was cued before the rest was over");

    MadeSession rejected = assessed();
    rejected.clean.quality.usable = false;
    rejected.clean.quality.findings = {{"open_contact", Severity::reject, "open", {}}};
    CHECK(rest_reasons(rejected) == std::vector<std::string>(3, "the signal was rejected: open_contact"));
}

TEST_CASE("a rest step is placed by the next contraction where one before it is not recorded") {
    MadeSession made = assessed();
    made.cycles.cycles.erase(made.cycles.cycles.begin());
    const auto rests = made.score().rests;
    CHECK(rests[0].mean_uv.reason == "the contractions beside it have no place in the recording");
    REQUIRE(rests[1].window);
    CHECK(rests[1].window->begin_s == doctest::Approx(21.0));
    made.cycles.from = CueSource::trace;
    CHECK(made.score().rests.empty());
    made.cycles.from = CueSource::marks;
    made.with_plan = false;
    CHECK(made.score().rests.empty());
}

TEST_CASE("missed extra and unusable cycles are counted and stay out of summaries") {
    MadeSession made = training();
    made.cycles.cycles[0].status = CycleStatus::missed;
    made.cycles.cycles[3].status = CycleStatus::unusable;
    Cycle extra = made_cycle(47, 48, 50);
    extra.status = CycleStatus::extra;
    add_cycle(made, extra);
    const SessionScore score = made.score();
    CHECK(score.planned == 4);
    CHECK(score.done == 2);
    CHECK(score.missed == 1);
    CHECK(score.extra == 1);
    CHECK(score.unusable == 1);
    CHECK(summary(score, "work_mean_uv").n == 1);
    CHECK(score.steps[0].missed == 1);
    CHECK(score.steps[1].unusable == 1);
}

TEST_CASE("planned contractions without a place in the recording are named") {
    MadeSession made = training();
    made.cycles.cycles.pop_back();
    const SessionScore score = made.score();
    CHECK(score.planned == 4);
    REQUIRE(score.notes.size() == 1);
    CHECK(score.notes[0].code == "contractions_not_recorded");
    CHECK(score.notes[0].text == "the plan asks for 4 contractions, 3 of them have a place in the recording");
}

TEST_CASE("summaries are over quick contractions where there are no holds and then over endurance") {
    MadeSession made =
        boxes(200, 2, 20, {made_cycle(10, 11, 15, StepKind::rapid), made_cycle(15, 45, 60, StepKind::endurance)});
    CHECK(made.score().summary_kind == StepKind::rapid);
    CHECK(made.score().steps.size() == 2);
    made.cycles.cycles.erase(made.cycles.cycles.begin());
    CHECK(made.score().summary_kind == StepKind::endurance);
}

TEST_CASE("without a plan the cues are the plan and without cues nothing was planned") {
    MadeSession made = training();
    made.with_plan = false;
    CHECK(made.score().planned == 4);
    made.cycles.from = CueSource::trace;
    CHECK(made.score().planned == 0);
    CHECK(made.score().done == 4);
    CHECK(made.score().threshold_uv.reason == "there is no plan");
}

TEST_CASE("half of a reference of 41 is a threshold of 20.5") {
    // Common practice, no source.
    CHECK(threshold({{}, 50.0, 41.0}).value == 20.5);
    CHECK(threshold({12.0, {}, {}}).value == 12.0);
    CHECK(*threshold({{}, 50.0, {}}).value == doctest::Approx(15.0));  // of the session's own 30 µV
    CHECK(threshold({}).reason == "the plan's threshold has no number");
    CHECK(training().score().threshold_uv.reason == "the plan sets no threshold");
}

TEST_CASE("the threshold reaches the cycles") {
    MadeSession made = training();
    made.plan.threshold = Threshold{{}, 50.0, 41.0};
    const SessionScore score = made.score();
    CHECK(score.cycles[0].values[*measure_index("above_threshold_pct")].value == 0.0);
    CHECK(score.cycles[2].values[*measure_index("above_threshold_pct")].value == 100.0);
    CHECK(score.cycles[2].values[*measure_index("reached_threshold")].value == 1.0);
}

TEST_CASE("a target without a value always says why") {
    MadeSession made = training();
    made.plan.targets = {{"release_s", 1.0, std::nullopt}};
    for (Cycle& cycle : made.cycles.cycles) {
        if (cycle.kind == StepKind::hold) cycle.status = CycleStatus::missed;
    }
    made.cycles.cycles.back().kind = StepKind::rapid;
    made.cycles.cycles.back().status = CycleStatus::done;
    const SessionScore score = made.score();
    REQUIRE(score.targets.size() == 1);
    CHECK_FALSE(score.targets[0].value);
    CHECK(score.targets[0].value.reason == "no contraction of the kind that the target is for was done");
}

TEST_CASE("a threshold of the session's own reference needs one") {
    MadeSession made = training();
    made.plan.threshold = Threshold{{}, 50.0, {}};
    for (Cycle& cycle : made.cycles.cycles) cycle.status = CycleStatus::missed;
    const SessionScore score = made.score();
    CHECK(score.reference_uv.reason == "no contraction was done");
    CHECK_FALSE(score.reference_cycle);
    CHECK(score.threshold_uv.reason == "the session has no reference contraction: no contraction was done");
    CHECK(score.cycles[0].values[*measure_index("above_threshold_pct")].reason == score.threshold_uv.reason);
}

TEST_CASE("targets are held against the session mean") {
    MadeSession made = training();
    made.plan.targets = {
        {"rest_mean_uv", 4.0, {}}, {"rest_mean_uv", 2.0, {}}, {"work_mean_uv", {}, 25.0}, {"endurance_s", {}, 10.0}};
    const SessionScore score = made.score();
    REQUIRE(score.targets.size() == 4);
    CHECK(score.targets[0].met == true);
    CHECK(*score.targets[0].value.value == doctest::Approx(2.0));
    CHECK(score.targets[1].met == false);
    CHECK(score.targets[2].met == false);
    CHECK_FALSE(score.targets[3].met);
    CHECK(score.targets[3].value.reason == "not an endurance contraction");
}

TEST_CASE("a target of another kind of contraction looks at that kind") {
    MadeSession made = training();
    made.cycles.cycles[3].kind = StepKind::endurance;
    made.cycles.cycles[3].work = {45, 48};
    made.cycles.cycles[3].rest = {48, 50};
    made.plan.targets = {{"endurance_s", {}, 2.0}};
    const SessionScore score = made.score();
    CHECK(score.targets[0].value.value.has_value());
}

TEST_CASE("a target on an unknown measure is refused with the nearest key") {
    MadeSession made = training();
    made.plan.targets = {{"rest_mean_u", 4.0, {}}};
    try {
        made.score();
        FAIL("no error");
    } catch (const Error& error) {
        CHECK(error.kind == ErrorKind::bad_setting);
        CHECK(error.source == "plan.json");
        CHECK(error.place == "/targets/rest_mean_u");
        CHECK(error.message ==
              "a target names no measure: saw 'rest_mean_u', expected a key of the list of measures; did you mean "
              "'rest_mean_uv'?");
        CHECK(error.hint == "'tracehold explain' lists the keys");
    }
}

TEST_CASE("a target that its measure can never be is refused") {
    MadeSession made = training();
    for (const Target& target : {Target{"rest_mean_uv", -4.0, {}}, Target{"above_threshold_pct", {}, 101.0}}) {
        made.plan.targets = {target};
        CHECK_THROWS_WITH_AS(made.score(), doctest::Contains("a target that cannot be: saw"), Error);
        CHECK_THROWS_WITH_AS(made.score(), doctest::Contains(", expected a number from 0 to 1"), Error);
    }
    made.plan.targets = {{"reaction_s", -0.5, {}}};  // before the cue: it happens
    CHECK(made.score().targets.size() == 1);
}

TEST_CASE("a rejected recording lists its cycles but has no number and no verdict") {
    MadeSession made = training();
    made.plan.targets = {{"rest_mean_uv", 4.0, {}}};
    made.clean.quality.usable = false;
    made.clean.quality.findings = {{"mains", Severity::caution, "hum", {}},
                                   {"contact_lost", Severity::reject, "no contact", {}}};
    const SessionScore score = made.score();
    CHECK(score.cycles.size() == 4);
    for (const ScoredCycle& cycle : score.cycles) {
        for (const Estimate& value : cycle.values) CHECK(value.reason == "the signal was rejected: contact_lost");
    }
    CHECK(score.reference_uv.reason == "the signal was rejected: contact_lost");
    CHECK(score.targets.empty());
    CHECK(summary(score, "work_mean_uv").n == 0);
}

TEST_CASE("work that hardly differs from rest is a caution with its numbers") {
    const MadeSession faint = boxes(200, 2.0, 2.6, {made_cycle(10, 15, 25), made_cycle(25, 30, 40)});
    const auto findings = faint.score().quality.findings;
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].code == "low_contrast");
    CHECK(findings[0].severity == Severity::caution);
    CHECK(findings[0].text.find(
              "1.30 times the resting activity (hold 2.6 µV, rest 2.0 µV, medians over 2 work windows)") !=
          std::string::npos);
    CHECK(faint.score().quality.usable);
    CHECK(training().score().quality.findings.empty());
}

TEST_CASE("the ratio that is named is that of the levels that are named") {
    // Holds of 10, 12, 6 and 6 over rests of 10, 10, 1 and 1: the median ratio is 3.6, that of the medians 8 / 5.5 = 1.45.
    MadeSession made = made_session(200, 60, [](double t) {
        return t < 15 ? 10.0 : t < 20 ? 10.0 : t < 25 ? 12.0 : t < 30 ? 1.0 : t < 35 ? 6.0 : t < 40 ? 1.0 : t < 45 ? 6.0 : 1.0;
    });
    for (const double begin : {10.0, 20.0, 30.0, 40.0}) add_cycle(made, made_cycle(begin, begin + 5, begin + 10));
    const auto findings = made.score().quality.findings;
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].text.find("1.45 times the resting activity (hold 8.0 µV, rest 5.5 µV") != std::string::npos);
}

TEST_CASE("where no contraction shows nothing shows that the electrode saw the muscle") {
    MadeSession made = training();
    for (Cycle& cycle : made.cycles.cycles) cycle.status = CycleStatus::missed;
    const auto findings = made.score().quality.findings;
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].code == "muscle_not_seen");
    CHECK(findings[0].severity == Severity::caution);
    made.cycles.cycles[1].status = CycleStatus::done;
    CHECK(made.score().quality.findings.empty());
}

TEST_CASE("what was found in work that reads as rest does may be chance") {
    const auto codes = [](double work_uv) {
        std::string text;
        for (const Finding& finding : boxes(200, 2.0, work_uv, {made_cycle(10, 15, 25), made_cycle(25, 30, 40)}).score().quality.findings)
            text += finding.code + " ";
        return text;
    };
    CHECK(codes(2.19) == "low_contrast muscle_not_seen ");
    CHECK(codes(2.21) == "low_contrast ");
}

// One hold at 20 µV over rest of 2; the windows of two others hold no more than rest.
TEST_CASE("a contraction that stands out clearly is not spoken against by those that were not seen") {
    MadeSession made = made_session(200, 70, [](double t) { return t >= 10 && t < 15 ? 20.0 : 2.0; });
    for (const double begin : {10.0, 25.0, 40.0}) add_cycle(made, made_cycle(begin, begin + 5, begin + 15));
    made.cycles.cycles[1].status = made.cycles.cycles[2].status = CycleStatus::missed;
    const auto findings = made.score().quality.findings;
    REQUIRE(findings.size() == 2);
    CHECK(findings[0].code == "low_contrast");
    CHECK(findings[0].text.find("though 1 of them holds a contraction that stands out clearly") != std::string::npos);
    CHECK(findings[1].code == "muscle_seen_in_part");
    CHECK(findings[1].text.find("1 of 3 work windows holds a contraction that stands out clearly") == 0);
    for (const Finding& finding : findings) {
        CHECK(finding.text.find("chance") == std::string::npos);
        CHECK(finding.text.find("nothing shows") == std::string::npos);
        CHECK(finding.text.find("hard to tell from rest") == std::string::npos);
    }
}

TEST_CASE("cues that the contractions do not follow are a caution") {
    const auto codes = [](CueSource from, double reaction_s, double length_s) {
        MadeSession made = boxes(200, 2.0, 20.0, {made_cycle(10, 15, 25), made_cycle(25, 30, 40), made_cycle(40, 45, 55)});
        made.cycles.from = from;
        for (Cycle& cycle : made.cycles.cycles) {
            const double onset_s = cycle.work.begin_s + reaction_s;
            cycle.onset = EventTime{onset_s, 0.01, onset_s - 0.02, onset_s + 0.02};
            cycle.offset = EventTime{onset_s + length_s, 0.01, onset_s + length_s - 0.02, onset_s + length_s + 0.02};
        }
        std::string text;
        for (const Finding& finding : made.score().quality.findings) text += finding.code + " ";
        return text;
    };
    for (const CueSource from : {CueSource::marks, CueSource::start}) {
        CHECK(codes(from, 0.3, 5.0).empty());
        CHECK(codes(from, -0.29, 2.0).empty());  // short holds are the muscle's, where cues are known
        CHECK(codes(from, -0.31, 5.0) == "cues_out_of_step ");
        CHECK(codes(from, 1.49, 5.0).empty());
        CHECK(codes(from, 1.51, 5.0) == "cues_out_of_step ");
    }
    CHECK(codes(CueSource::aligned, 1.6, 5.0).empty());  // the cues are estimates anyway
    CHECK(codes(CueSource::aligned, 0.3, 6.4).empty());
    CHECK(codes(CueSource::aligned, 0.3, 6.6) == "lengths_off_plan ");
    CHECK(codes(CueSource::aligned, 0.3, 4.1).empty());
    CHECK(codes(CueSource::aligned, 0.3, 3.9) == "lengths_off_plan ");
    CHECK(codes(CueSource::trace, 1.6, 9.0).empty());
}

TEST_CASE("how far all contractions are from their cues is told where they agree") {
    const auto text = [](std::vector<double> reactions_s) {
        MadeSession made = boxes(200, 2.0, 20.0, {made_cycle(10, 15, 25), made_cycle(25, 30, 40), made_cycle(40, 45, 55)});
        for (std::size_t i = 0; i < 3; ++i) {
            const double onset_s = made.cycles.cycles[i].work.begin_s + reactions_s[i];
            made.cycles.cycles[i].onset = EventTime{onset_s, 0.01, onset_s - 0.02, onset_s + 0.02};
        }
        const SessionScore score = made.score();
        REQUIRE(score.quality.findings.size() == 1);
        CHECK(score.quality.findings[0].code == "cues_out_of_step");
        return score.quality.findings[0].text;
    };
    CHECK(text({-3.7, -3.6, -3.8}).find("apart by about 3.7 s: most of 3 contractions begin that long before their cue") != std::string::npos);
    CHECK(text({-3.7, -3.6, -3.8}).find("check the clock of the marks: ") != std::string::npos);
    CHECK(text({2.0, 2.4, 5.0}).find("apart by about 2.4 s: most of 3 contractions begin that long after their cue") != std::string::npos);
    CHECK(text({2.0, 2.4, 5.0}).find("check the clock of the marks, though who starts that late looks alike: ") != std::string::npos);
    CHECK(text({2.0, 3.0, 5.0}).find("of 3 contractions 0 begin more than 0.3 s before") == 0);
    CHECK(text({-1.4, -1.3, -1.5}).find("of 3 contractions 3 begin more than 0.3 s before") == 0);
}

TEST_CASE("by cues that the contractions do not follow nothing is measured") {
    MadeSession made = boxes(200, 2.0, 20.0, {made_cycle(10, 15, 25), made_cycle(25, 30, 40), made_cycle(40, 45, 55)});
    made.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 10, 3}};
    made.plan.threshold = Threshold{{}, 50.0, {}};
    made.plan.targets = {{.measure = "rest_mean_uv", .below = 4.0, .above = {}}};
    made.with_plan = true;
    for (const double reaction_s : {0.3, -0.8}) {
        for (Cycle& cycle : made.cycles.cycles) {
            const double onset_s = cycle.work.begin_s + reaction_s;
            cycle.onset = EventTime{onset_s, 0.01, onset_s - 0.02, onset_s + 0.02};
        }
        const SessionScore score = made.score();
        const bool in_step = reaction_s > 0.0;
        for (const char* key : {"reaction_s", "work_mean_uv", "rest_mean_uv", "lift_uv", "above_threshold_pct"}) {
            CAPTURE(key);
            const Estimate value = score.cycles[0].values[*measure_index(key)];
            CHECK(value.value.has_value() == in_step);
            if (!in_step) CHECK(value.reason == kOutOfStep);
        }
        CHECK(score.reference_uv.value.has_value() == in_step);
        CHECK(score.threshold_uv.value.has_value() == in_step);
        REQUIRE(score.targets.size() == 1);
        CHECK(score.targets[0].met.has_value() == in_step);
        if (!in_step) CHECK(score.targets[0].value.reason == kOutOfStep);
    }
}

TEST_CASE("windows of cues out of step tell nothing of contrast") {
    MadeSession made = boxes(200, 2.0, 2.1, {made_cycle(10, 15, 25), made_cycle(25, 30, 40), made_cycle(40, 45, 55)});
    for (Cycle& cycle : made.cycles.cycles) {
        const double onset_s = cycle.work.begin_s - 3.0;
        cycle.onset = EventTime{onset_s, 0.01, onset_s - 0.02, onset_s + 0.02};
    }
    const auto findings = made.score().quality.findings;
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].code == "cues_out_of_step");
}

// The muscle works in what the marks call rest, a little after them.
TEST_CASE("contractions from relax to contract marks tell of exchanged marks") {
    const auto codes = [](double lag_s, CycleStatus status) {
        MadeSession made = made_session(200, 130, [](double) { return 5.0; });
        for (int i = 0; i < 8; ++i) {
            const double w0 = 5.0 + 15.0 * i;
            Cycle cycle = made_cycle(w0, w0 + 10, w0 + 15);
            const double begin_s = w0 - 5.0 + lag_s, end_s = w0 + lag_s;
            if (status == CycleStatus::extra) {
                cycle.status = CycleStatus::missed;
                cycle.rest.end_s = w0 + 10 + lag_s;
            } else if (i > 0) {
                cycle.onset = EventTime{begin_s, 0.01, begin_s, begin_s};
                cycle.offset = EventTime{end_s, 0.01, end_s, end_s};
            }
            add_cycle(made, cycle);
            if (status != CycleStatus::extra) continue;
            Cycle between = made_cycle(w0 + 10 + lag_s, w0 + 15, w0 + 15);
            between.status = CycleStatus::extra;
            add_cycle(made, between);
        }
        std::string text;
        for (const Finding& finding : made.score().quality.findings) text += finding.code + " ";
        return text;
    };
    for (const CycleStatus status : {CycleStatus::extra, CycleStatus::done}) {
        CHECK(codes(0.2, status) == "marks_exchanged ");
        CHECK(codes(1.4, status) == "marks_exchanged ");
        CHECK(codes(2.0, status) == "cues_out_of_step ");
    }
}

TEST_CASE("as many contractions between cues as are missing at them are a caution") {
    const auto codes = [](int missed, int extra) {
        MadeSession made = made_session(200, 110, [](double) { return 5.0; });
        for (int i = 0; i < 10; ++i) {
            Cycle cycle = made_cycle(10.0 * i, 10.0 * i + 3, 10.0 * i + 6);
            if (i < missed) cycle.status = CycleStatus::missed;
            add_cycle(made, cycle);
            if (i >= extra) continue;
            Cycle between = made_cycle(10.0 * i + 6, 10.0 * i + 8, 10.0 * i + 10);
            between.status = CycleStatus::extra;
            add_cycle(made, between);
        }
        std::string text;
        for (const Finding& finding : made.score().quality.findings) text += finding.code == "cues_out_of_step" ? "+" : "";
        return text;
    };
    CHECK(codes(3, 3) == "+");
    CHECK(codes(5, 4) == "+");
    CHECK(codes(2, 6).empty());
    CHECK(codes(6, 2).empty());
}

TEST_CASE("a rest that cannot be read is no number") {
    MadeSession made = training();
    made.clean.quality.findings = {{"rest_unreadable", Severity::caution, "rest reads 1.9 µV", {}}};
    const SessionScore score = made.score();
    for (const char* key : {"rest_mean_uv", "lift_uv"}) {
        CAPTURE(key);
        CHECK(summary(score, key).n == 0);
        CHECK(score.cycles[0].values[*measure_index(key)].reason == "resting activity cannot be read: it is finer than the recorder can tell");
    }
    CHECK(summary(score, "work_mean_uv").n > 0);
}

TEST_CASE("what casts doubt on the cues is a finding and a plan without a place counts nothing") {
    MadeSession made = training();
    made.cycles.from = CueSource::trace;
    made.cycles.notes = {{"plan_not_found", "", "not told", true}};
    const SessionScore score = made.score();
    REQUIRE(score.quality.findings.size() == 1);
    CHECK(score.quality.findings[0].code == "plan_not_found");
    CHECK(score.quality.findings[0].severity == Severity::caution);
    CHECK(score.notes.empty());
    CHECK(score.planned == 0);
    for (const StepScore& step : score.steps) CHECK(!step.step);
}

TEST_CASE("a session of unusable cycles only is rejected") {
    MadeSession made = training();
    for (Cycle& cycle : made.cycles.cycles) cycle.status = CycleStatus::unusable;
    const SessionScore score = made.score();
    CHECK_FALSE(score.quality.usable);
    CHECK(score.quality.findings.back().code == "no_usable_cycle");
    CHECK(score.cycles[0].values[0].reason == "the signal was rejected: no_usable_cycle");
}

TEST_CASE("a recording without contractions says so") {
    MadeSession made = made_session(200, 30, [](double) { return 2.0; });
    made.cycles.from = CueSource::trace;
    const SessionScore score = made.score();
    CHECK(score.cycles.empty());
    CHECK(score.notes.back().code == "no_contractions");
    CHECK(score.measures.size() == measure_list().size());
    CHECK(score.steps.empty());
    CHECK(score.quality.usable);
}
