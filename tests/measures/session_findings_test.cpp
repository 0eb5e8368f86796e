// What a score adds to the findings of cleaning, and how references and contrast choose among cycles.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "measures/contrast.hpp"
#include "measures/late_release.hpp"
#include "measures/level_doubts.hpp"
#include "measures/made_session.hpp"
#include "measures/reference.hpp"
#include "tracehold/measures/muscle_seen.hpp"
#include "support/shaped_noise.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

MadeSession two_holds() { return boxes(100, 2.0, 20.0, {made_cycle(10, 15, 25), made_cycle(25, 30, 40)}); }

SessionScore score_with(const MadeSession& made, const ScoreSettings& settings) {
    return score_session({.recording = {},
                          .notes = {},
                          .clean = made.clean,
                          .envelope = made.envelope,
                          .cycles = made.cycles,
                          .plan = made.input().plan,
                          .accessory = nullptr,
                          .corrections = {},
                          .settings = settings});
}

const Finding* find(const SessionScore& score, std::string_view code) {
    for (const Finding& finding : score.quality.findings) {
        if (finding.code == code) return &finding;
    }
    return nullptr;
}

}  // namespace

TEST_CASE("a subtracted floor is a caution with its level, of an exported envelope as well") {
    MadeSession made = two_holds();
    made.envelope.noise_floor_uv = 1.74;
    ScoreSettings settings;
    CHECK(find(score_with(made, settings), "noise_subtracted") == nullptr);
    settings.envelope.subtract_noise_floor = true;
    const SessionScore score = score_with(made, settings);
    const Finding* finding = find(score, "noise_subtracted");
    REQUIRE(finding != nullptr);
    CHECK(finding->severity == Severity::caution);
    CHECK(finding->text ==
          "the quietest level of the recording, 1.7 µV, was subtracted as asked for; where the muscle never rests that "
          "is muscle, so resting activity may be higher than it reads");
    CHECK(score.quality.usable);
    made.envelope.method = EnvelopeMethod::as_exported;
    CHECK(find(score_with(made, settings), "noise_subtracted") != nullptr);
}

TEST_CASE("a subtracted baseline is a caution, and of a raw signal a note that there was none to subtract") {
    MadeSession made = two_holds();
    ScoreSettings settings;
    settings.envelope.subtract_baseline = true;
    const SessionScore raw = score_with(made, settings);
    CHECK(find(raw, "baseline_subtracted") == nullptr);
    CHECK(std::any_of(raw.notes.begin(), raw.notes.end(), [](const Note& note) { return note.code == "baseline_not_subtracted"; }));
    CHECK_FALSE(rest_reads_low(raw));
    made.envelope.method = EnvelopeMethod::as_exported;
    const SessionScore exported = score_with(made, settings);
    CHECK(find(exported, "baseline_subtracted") != nullptr);
    CHECK(std::none_of(exported.notes.begin(), exported.notes.end(), [](const Note& note) { return note.code == "baseline_not_subtracted"; }));
    CHECK(rest_reads_low(exported));
}

TEST_CASE("resting activity is held against its target only where nothing was subtracted from it") {
    MadeSession made = two_holds();
    made.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 10, 2}};
    made.with_plan = true;
    made.plan.targets = {{"rest_mean_uv", 100.0, {}}, {"hold_mean_uv", {}, 0.1}};
    ScoreSettings settings;
    const auto met = [&](std::size_t i) { return score_with(made, settings).targets.at(i).met; };
    CHECK(met(0) == true);
    settings.envelope.subtract_baseline = true;
    CHECK(met(0) == true);  // of a raw signal there is none
    made.envelope.method = EnvelopeMethod::as_exported;
    CHECK(met(0) == std::nullopt);
    CHECK(met(1) == true);
    settings.envelope = {};
    CHECK(met(0) == true);
    settings.envelope.subtract_noise_floor = true;
    CHECK(met(0) == std::nullopt);
}

TEST_CASE("a plan without room in the recording is a caution unless there are no cues at all") {
    MadeSession made = two_holds();
    made.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 10, 5}};
    made.with_plan = true;
    const SessionScore score = made.score();
    const Finding* finding = find(score, "plan_not_whole");
    REQUIRE(finding != nullptr);
    CHECK(finding->severity == Severity::caution);
    CHECK(finding->text ==
          "3 of 5 planned contractions have no place in the recording: it starts late, ends early, or cue marks are "
          "missing");
    made.cycles.from = CueSource::trace;
    CHECK(find(made.score(), "plan_not_whole") == nullptr);
    made.cycles.from = CueSource::marks;
    made.plan.steps[1].times = 2;
    CHECK(find(made.score(), "plan_not_whole") == nullptr);
}

TEST_CASE("the reason of a rejection is the finding on the whole recording before one on a part") {
    MadeSession made = two_holds();
    made.clean.quality.usable = false;
    made.clean.quality.findings = {{"contact_lost", Severity::reject, "part", {{1, 2}}},
                                   {"clipped", Severity::reject, "whole", {}}};
    CHECK(made.score().reference_uv.reason == "the signal was rejected: clipped");
    made.clean.quality.findings.pop_back();
    CHECK(made.score().reference_uv.reason == "the signal was rejected: contact_lost");
    made.clean.quality.findings.clear();
    CHECK(made.score().reference_uv.reason == "the signal was rejected: quality");
}

TEST_CASE("on a rejected signal nothing is done or missed and extra ones are not listed") {
    MadeSession made = two_holds();
    made.clean.quality.usable = false;
    made.cycles.cycles[0].onset = EventTime{10.2, 0.01, 10.18, 10.22};
    made.cycles.cycles[1].status = CycleStatus::extra;
    const SessionScore score = made.score();
    REQUIRE(score.cycles.size() == 1);
    CHECK(score.cycles[0].cycle.status == CycleStatus::unusable);
    CHECK_FALSE(score.cycles[0].cycle.onset);
    CHECK(score.cycles[0].cycle.onset_reason == "the signal was rejected: quality");
    CHECK(score.unusable == 1);
    CHECK(score.done == 0);
    CHECK(score.extra == 0);
    CHECK(std::isnan(score.noise_floor_uv));
}

TEST_CASE("nothing of a rejected signal is read as muscle") {
    MadeSession made = boxes(100, 2.0, 2.1, {made_cycle(10, 15, 25), made_cycle(25, 30, 40)});
    made.cycles.notes = {{"cues_estimated", "", "estimated", true}};
    made.clean.quality.usable = false;
    made.clean.quality.findings = {{"too_large", Severity::reject, "too large", {}}};
    const SessionScore score = made.score();
    CHECK(find(score, "low_contrast") == nullptr);
    CHECK(find(score, "muscle_not_seen") == nullptr);
    CHECK(find(score, "too_large") != nullptr);
}

TEST_CASE("the reference is the first of the largest best seconds among those done") {
    MadeSession made = boxes(100, 2.0, 20.0, {made_cycle(10, 15, 20), made_cycle(20, 25, 30), made_cycle(30, 35, 40)});
    for (std::size_t i = 2000; i < 2500; ++i) made.envelope.uv[i] = 30.0f;
    for (std::size_t i = 3000; i < 3500; ++i) made.envelope.uv[i] = 30.0f;
    CHECK(reference_of(view_cycles(made.input())).cycle == 2);
    CHECK(*reference_of(view_cycles(made.input())).best_uv.value == 30.0);
    made.cycles.cycles[1].status = CycleStatus::extra;
    CHECK(reference_of(view_cycles(made.input())).cycle == 3);
}

TEST_CASE("a reference is told why there is none and taken from the next that has one") {
    MadeSession made =
        boxes(100, 2.0, 20.0, {made_cycle(10, 10.5, 20), made_cycle(20, 25, 30), made_cycle(30, 30.6, 40)});
    CHECK(reference_of(view_cycles(made.input())).cycle == 2);
    made.cycles.cycles.erase(made.cycles.cycles.begin() + 1);
    CHECK(reference_of(view_cycles(made.input())).best_uv.reason == "the contraction is shorter than 1 s");
    CHECK_FALSE(reference_of(view_cycles(made.input())).cycle);
}

TEST_CASE("a largest best second that the recorder cut off is no reference, and no smaller one takes its place") {
    MadeSession made = boxes(100, 2.0, 20.0, {made_cycle(10, 15, 20), made_cycle(20, 25, 30)});
    for (std::size_t i = 2000; i < 2500; ++i) made.envelope.uv[i] = 30.0f;
    made.clean.clipped = {{11.0, 11.2}};
    CHECK(reference_of(view_cycles(made.input())).cycle == 2);
    made.clean.clipped = {{21.0, 21.2}};
    CHECK(reference_of(view_cycles(made.input())).best_uv.reason == "the recorder's limits cut off more than 2 % of it: it would read too low");
    CHECK_FALSE(reference_of(view_cycles(made.input())).cycle);
}

TEST_CASE("a threshold of the session's own reference carries its error") {
    Plan plan;
    plan.threshold = Threshold{{}, 60.0, {}};
    const Estimate own = threshold_of(&plan, Estimate::of(40.0, 2.0));
    CHECK(*own.value == doctest::Approx(24.0));
    CHECK(*own.error == doctest::Approx(1.2));
    CHECK_FALSE(threshold_of(&plan, Estimate::of(40.0)).error);
    plan.threshold->reference_uv = 50.0;  // a number of the plan has none
    CHECK(*threshold_of(&plan, Estimate::of(40.0, 2.0)).value == doctest::Approx(30.0));
    CHECK_FALSE(threshold_of(&plan, Estimate::of(40.0, 2.0)).error);
}

TEST_CASE("contrast is judged on cycles that were asked for and have both levels") {
    MadeSession made = boxes(100, 2.0, 2.98, {made_cycle(10, 15, 25), made_cycle(25, 30, 40)});
    made.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 10, 2}};
    made.with_plan = true;
    CHECK(contrast_finding(view_cycles(made.input()))->code == "low_contrast");
    for (float& e : made.envelope.uv) e = e > 2.5f ? 3.0f : 2.0f;  // 1.5 times exactly is enough
    CHECK_FALSE(contrast_finding(view_cycles(made.input())));
    for (float& e : made.envelope.uv) e = e > 2.5f ? 2.6f : 2.0f;
    made.cycles.cycles[0].status = made.cycles.cycles[1].status = CycleStatus::extra;
    CHECK_FALSE(contrast_finding(view_cycles(made.input())));
    made.cycles.cycles[0].status = CycleStatus::done;
    CHECK(contrast_finding(view_cycles(made.input())));
    mask(made.envelope, 11, 15);  // no hold level
    CHECK_FALSE(contrast_finding(view_cycles(made.input())));
    MadeSession silent = boxes(100, 0.0, 20.0, {made_cycle(10, 15, 25)});
    CHECK_FALSE(contrast_finding(view_cycles(silent.input())));  // no ratio to nothing
    CHECK_FALSE(contrast_finding({}));
}

TEST_CASE("most windows are called no more than rest only where most are") {
    const auto text_with = [](std::size_t standing_out) {
        std::vector<Cycle> cycles;
        for (int i = 0; i < 4; ++i) cycles.push_back(made_cycle(10 + 15 * i, 15 + 15 * i, 25 + 15 * i));
        MadeSession made = boxes(100, 2.0, 2.6, cycles);
        for (std::size_t k = 0; k < standing_out; ++k) {
            for (std::size_t i = 1000 + 1500 * k; i < 1500 + 1500 * k; ++i) made.envelope.uv[i] = 3.1f;
        }
        return contrast_finding(view_cycles(made.input()));
    };
    CHECK(text_with(0)->text.find("so contractions are hard to tell from rest; contact") != std::string::npos);
    CHECK(text_with(2)->text.find("so most of the windows hold no more than rest, though 2 of them hold") != std::string::npos);
}

// Medians may be under 1.5 where most of the windows are above.
TEST_CASE("work low against a high rest is called that") {
    MadeSession made = boxes(100, 10.0, 14.0, {made_cycle(10, 15, 25), made_cycle(25, 30, 40), made_cycle(40, 45, 55)});
    const auto fill = [&](double from_s, double to_s, float uv) {
        for (auto i = static_cast<std::size_t>(100 * from_s); i < static_cast<std::size_t>(100 * to_s); ++i) made.envelope.uv[i] = uv;
    };
    made.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 10, 3}};
    made.with_plan = true;
    fill(0, 10, 8.0f), fill(10, 15, 12.2f);   // 1.53 times its rest
    fill(15, 25, 9.0f), fill(25, 30, 13.6f);  // 1.51
    fill(30, 40, 14.0f), fill(40, 45, 8.0f);  // less: medians 12.2 and 9
    const auto finding = contrast_finding(view_cycles(made.input()));
    REQUIRE(finding);
    CHECK(finding->text.find("so work is low against a high resting activity, though 2 of them hold a contraction that stands out clearly; "
                             "contact and position") != std::string::npos);
}

TEST_CASE("a few seconds without any contraction are too short to be scored and say so") {
    const std::vector<CycleView> none;
    CHECK(unseen_finding(none, {.recorded_s = 4.9})->code == "too_short");
    CHECK(unseen_finding(none, {.recorded_s = 4.9})->severity == Severity::reject);
    CHECK(unseen_finding(none, {.recorded_s = 4.9})->text == "no contraction was found in 4.9 s: too short to tell work from rest");
    CHECK(unseen_finding(none, {.recorded_s = 5.0})->code == "muscle_not_seen");
    MadeSession made = boxes(100, 2.0, 20.0, {made_cycle(1, 2, 3)});
    CHECK_FALSE(unseen_finding(view_cycles(made.input()), {.recorded_s = 3.0}));
}

TEST_CASE("where the muscle lets go late and ranges far above the quietest level the electrode is not doubted") {
    const auto views = [](MadeSession& made) { return view_cycles(made.input()); };
    MadeSession made = boxes(100, 19.0, 20.0, {made_cycle(10, 15, 25), made_cycle(25, 30, 40)});
    CHECK(unseen_finding(views(made), {0.0, false, 2.3})->code == "muscle_not_seen");
    CHECK_FALSE(unseen_finding(views(made), {0.0, true, 2.3}));
    CHECK(unseen_finding(views(made), {0.0, true, 7.0})->code == "muscle_not_seen");  // not even three times
    CHECK(unseen_finding(views(made), {0.95, true, 2.3})->code == "reference_off");
    CHECK(contrast_finding(views(made))->text.find("position of the electrode") != std::string::npos);
    CHECK(contrast_finding(views(made), true)->text.find("position of the electrode") == std::string::npos);
}

TEST_CASE("one that is called missed beside contractions that hardly stand out is doubted") {
    const auto with_work = [](double work_uv) {
        MadeSession made = boxes(100, 2.0, work_uv, {made_cycle(10, 15, 25), made_cycle(25, 30, 40), made_cycle(40, 45, 55)});
        for (std::size_t i = 4000; i < 4500; ++i) made.envelope.uv[i] = 2.0f;
        made.cycles.cycles[2].status = CycleStatus::missed;
        return made;
    };
    const SessionScore score = with_work(3.8).score();
    const Finding* finding = find(score, "low_contrast");
    REQUIRE(finding != nullptr);
    CHECK(finding->severity == Severity::caution);
    CHECK(finding->text ==
          "the contractions found read only 1.90 times the resting activity (hold 3.8 µV, rest 2.0 µV, medians over 2), so the 1 "
          "called missed may be too faint to be told from rest");
    CHECK(find(with_work(4.0).score(), "low_contrast") == nullptr);
    MadeSession done = with_work(3.8);
    done.cycles.cycles[2].status = CycleStatus::done;
    CHECK(find(done.score(), "low_contrast") == nullptr);
}

TEST_CASE("a trace of hum beneath which no contraction shows is rejected and one with less hum is not") {
    MadeSession made = two_holds();
    for (Cycle& cycle : made.cycles.cycles) cycle.status = CycleStatus::missed;
    made.clean.quality.mains = MainsHum{50.0, 10.0, 0.9, true};
    const SessionScore score = made.score();
    const Finding* finding = find(score, "reference_off");
    REQUIRE(finding != nullptr);
    CHECK(finding->severity == Severity::reject);
    CHECK(finding->text ==
          "mains hum makes up 90 % of the signal and no contraction shows beneath it, as with an electrode or the reference off: "
          "whether any was done cannot be told");
    CHECK_FALSE(score.quality.usable);
    CHECK(score.missed == 0);
    CHECK(find(score, "muscle_not_seen") == nullptr);
    made.clean.quality.mains->share_of_power = 0.89;
    CHECK(find(made.score(), "muscle_not_seen") != nullptr);
    CHECK(made.score().quality.usable);
    CHECK_FALSE(muscle_seen(made.score()));
    made.clean.quality.mains->share_of_power = 0.99;
    made.cycles.cycles[0].status = CycleStatus::done;
    CHECK(made.score().quality.usable);
    CHECK(find(made.score(), "muscle_not_seen") == nullptr);
}

TEST_CASE("hum with one contraction that stands out clearly is not called hum beneath which none shows") {
    MadeSession made = boxes(100, 2.0, 2.0, {made_cycle(10, 15, 20), made_cycle(20, 25, 30), made_cycle(30, 35, 40)});
    for (std::size_t i = 1000; i < 1500; ++i) made.envelope.uv[i] = 20.0f;
    for (std::size_t k = 1; k < 3; ++k) made.cycles.cycles[k].status = CycleStatus::missed;
    made.clean.quality.mains = MainsHum{50.0, 10.0, 0.95, true};
    const SessionScore score = made.score();
    CHECK(find(score, "reference_off") == nullptr);
    const Finding* finding = find(score, "muscle_seen_in_part");
    REQUIRE(finding != nullptr);
    CHECK(muscle_seen(score));
    CHECK(finding->text.find("1 of 3 work windows holds a contraction that stands out clearly") == 0);
    CHECK(score.quality.usable);
}

TEST_CASE("a gap is a caution where it lies on a contraction or right behind it") {
    const auto severity_of = [](TimeSpan gap) {
        MadeSession made = two_holds();
        made.clean.quality.findings = {{"missing", Severity::note, "a gap", {gap}}};
        const SessionScore score = made.score();
        const Finding finding = *find(score, "missing");
        CHECK(finding.text == (finding.severity == Severity::note ? "a gap" : "a gap; that touches 1 of 2 contractions"));
        return finding.severity;
    };
    CHECK(severity_of({9.5, 10.2}) == Severity::caution);
    CHECK(severity_of({15.9, 17.0}) == Severity::caution);  // within a second after the relax cue
    CHECK(severity_of({16.1, 17.0}) == Severity::note);
    CHECK(severity_of({9.5, 10.0}) == Severity::note);
    CHECK(severity_of({12.0, 12.05}) == Severity::note);  // shorter than a rise
}

TEST_CASE("movement is a caution where it lies on most contractions") {
    const auto severity_of = [](std::vector<TimeSpan> moves) {
        MadeSession made = two_holds();
        made.clean.quality.findings = {{"motion", Severity::note, "moves", std::move(moves)}};
        const SessionScore score = made.score();
        const Finding finding = *find(score, "motion");
        CHECK(finding.text == (finding.severity == Severity::note ? "moves" : "moves; that touches 2 of 2 contractions"));
        return finding.severity;
    };
    CHECK(severity_of({{9.9, 10.4}, {24.9, 25.4}}) == Severity::caution);
    CHECK(severity_of({{9.9, 10.4}, {20.0, 21.0}}) == Severity::note);
    const auto of_five = [](std::size_t moved) {
        std::vector<Cycle> cycles;
        std::vector<TimeSpan> moves;
        for (std::size_t i = 0; i < 5; ++i) {
            const double at_s = 10.0 + 15.0 * static_cast<double>(i);
            cycles.push_back(made_cycle(at_s, at_s + 5, at_s + 15));
            if (i < moved) moves.push_back({at_s + 1.0, at_s + 1.5});
        }
        MadeSession made = boxes(100, 2.0, 20.0, cycles);
        made.clean.quality.findings = {{"motion", Severity::note, "moves", moves}};
        const SessionScore score = made.score();
        return find(score, "motion")->severity;
    };
    CHECK(of_five(2) == Severity::note);
    CHECK(of_five(3) == Severity::caution);
}

TEST_CASE("the rest before the first contraction is the plan's opening rest of any number of steps") {
    MadeSession made = boxes(100, 2.0, 20.0, {made_cycle(10, 15, 25)});
    for (std::size_t i = 1800; i < 2500; ++i) made.envelope.uv[i] = 6.0f;
    made.plan.steps = {{StepKind::rest, 4, 0, 1}, {StepKind::rest, 6, 0, 1}, {StepKind::hold, 5, 10, 1}};
    made.with_plan = true;
    CHECK(*made.view().rest_level.value == doctest::Approx(2.0));
    CHECK(made.view().rest_before.length_s() > 6.0);
    made.plan.steps = {{StepKind::rest, 10, 0, 1}};  // nothing but rest
    CHECK(*made.view().rest_level.value == doctest::Approx(2.0));
}

// Three contractions of 20 µV from 2 µV; the muscle lets go of the second one only in the course of the third cycle.
TEST_CASE("a missed contraction with the level of a contraction before its cue is named as late release") {
    const auto with_rest_of = [](double rest_uv) {
        MadeSession made = boxes(100, 2.0, 20.0, {made_cycle(10, 15, 25), made_cycle(25, 30, 40), made_cycle(40, 45, 55)});
        for (std::size_t i = 3000; i < 5500; ++i) made.envelope.uv[i] = static_cast<float>(rest_uv);
        made.envelope.noise_floor_uv = 2.0;
        made.cycles.cycles[2].status = CycleStatus::missed;
        made.cycles.cycles[2].onset.reset();
        return made;
    };
    const SessionScore score = with_rest_of(19.0).score();
    const Finding* finding = find(score, "late_release");
    REQUIRE(finding != nullptr);
    CHECK(finding->severity == Severity::caution);
    CHECK(finding->spans == std::vector<TimeSpan>{{40, 45}});
    CHECK(finding->text ==
          "1 of 1 missed contractions had activity at the level of a contraction before their cue (19.0 µV; contractions "
          "found 20.0 µV, quietest level 2.0 µV, medians): late or incomplete release of the one before is as possible as a "
          "missed contraction");
    CHECK(find(with_rest_of(11.1).score(), "late_release") != nullptr);  // half of the way is 11
    CHECK(find(with_rest_of(10.9).score(), "late_release") == nullptr);
    MadeSession flat = with_rest_of(19.0);
    flat.envelope.noise_floor_uv = 14.0;  // what was found hardly stands out
    CHECK(find(flat.score(), "late_release") == nullptr);
    MadeSession done = with_rest_of(19.0);
    done.cycles.cycles[2].status = CycleStatus::done;
    CHECK(find(done.score(), "late_release") == nullptr);
}

// Six holds of 20 µV from 2 µV, each found as long before its cue as said, known within 0.05 s.
TEST_CASE("most contractions before their cues are named with how much and a few are not") {
    const auto begun_before = [](double early_s, std::size_t count) {
        std::vector<Cycle> cycles;
        for (std::size_t i = 0; i < 6; ++i) {
            const double cue_s = 10.0 + 15.0 * static_cast<double>(i), onset_s = cue_s + (i < count ? -early_s : 0.3);
            cycles.push_back(made_cycle(cue_s, cue_s + 5, cue_s + 15));
            cycles.back().onset = EventTime{onset_s, 0.025, onset_s - 0.05, onset_s + 0.05};
        }
        return boxes(100, 2.0, 20.0, cycles);
    };
    const SessionScore score = begun_before(0.23, 4).score();
    const Finding* finding = find(score, "starts_before_cues");
    REQUIRE(finding != nullptr);
    CHECK(finding->severity == Severity::caution);
    CHECK(finding->text ==
          "of 6 contractions 4 begin before their cue, 0.23 s in the median: either the cues are expected or the marks are late, and "
          "then all times from a cue are shifted by that and the reaction besides");
    CHECK(score.cycles[0].values[*measure_index("reaction_s")]);  // measured all the same
    CHECK(find(begun_before(0.23, 3).score(), "starts_before_cues") == nullptr);
    CHECK(find(begun_before(0.04, 6).score(), "starts_before_cues") == nullptr);  // its interval holds the cue
    MadeSession made = begun_before(0.23, 6);
    made.cycles.cycles.pop_back();
    CHECK(find(made.score(), "starts_before_cues") == nullptr);  // of five
    made = begun_before(0.23, 6);
    made.cycles.from = CueSource::aligned;
    CHECK(find(made.score(), "starts_before_cues") == nullptr);
    made = begun_before(0.5, 6);  // far enough to be another clock, which is said instead
    CHECK(find(made.score(), "cues_out_of_step") != nullptr);
    CHECK(find(made.score(), "starts_before_cues") == nullptr);
}

TEST_CASE("a rest above 20 is far more than a pelvic floor gives") {
    const auto with_rest = [](double rest_uv) { return boxes(100, rest_uv, 100.0, {made_cycle(10, 15, 25), made_cycle(25, 30, 40)}); };
    const SessionScore score = with_rest(22.4).score();
    const Finding* finding = find(score, "rest_high");
    REQUIRE(finding != nullptr);
    CHECK(finding->severity == Severity::caution);
    CHECK(finding->text.starts_with("rest reads 22 µV between the contractions"));
    CHECK(find(with_rest(20.0).score(), "rest_high") == nullptr);
}

TEST_CASE("rest and contractions that change by one factor within a session tell another gain") {
    const auto changed = [](double rest_factor, double hold_factor, std::size_t from) {
        std::vector<Cycle> cycles;
        for (double cue_s = 10.0; cue_s < 115.0; cue_s += 15.0) cycles.push_back(made_cycle(cue_s, cue_s + 5, cue_s + 15));
        MadeSession made = boxes(100, 1.0, 10.0, cycles);
        for (std::size_t i = 700 + 1500 * from; i < made.envelope.uv.size(); ++i) {
            float& e = made.envelope.uv[i];
            e *= static_cast<float>(e > 5.0f ? hold_factor : rest_factor);
        }
        return made;
    };
    const SessionScore score = changed(4.0, 5.0, 4).score();
    const Finding* finding = find(score, "gain_changed");
    REQUIRE(finding != nullptr);
    CHECK(finding->severity == Severity::caution);
    CHECK(finding->text ==
          "from 70 s on rest and contractions alike read 5.0 times more than before: gain, contact or electrode probably changed, so "
          "amplitudes of the two parts do not compare");
    const SessionScore less = changed(0.1, 0.1, 3).score();
    REQUIRE(find(less, "gain_changed") != nullptr);
    CHECK(find(less, "gain_changed")->text.starts_with("from 55 s on rest and contractions alike read 10.0 times less"));
    CHECK(find(changed(1.4, 1.4, 4).score(), "gain_changed") == nullptr);
    CHECK(find(changed(3.1, 1.0, 4).score(), "gain_changed") == nullptr);  // a muscle that rests no more
    CHECK(find(changed(1.0, 4.0, 4).score(), "gain_changed") == nullptr);  // one that pulls harder
    CHECK(find(changed(3.5, 5.5, 4).score(), "gain_changed") == nullptr);
    CHECK(find(changed(10.0, 10.0, 5).score(), "gain_changed") == nullptr);  // two are few
}

TEST_CASE("another gain for a third of a session is told from people who tire or grow restless") {
    // Twelve contractions in holds and quick ones; levels scatter by a tenth (rest) and a seventh (work), as people's do.
    struct Session {
        double gain = 1.0, tire = 0.0, restless = 0.0;
        std::size_t from = 0, to = 0;
    };
    const auto found = [](const Session& session) {
        int times = 0;
        for (std::uint64_t seed = 1; seed <= 100; ++seed) {
            std::vector<Cycle> cycles;
            for (std::size_t i = 0; i < 12; ++i) {
                const double cue_s = 10.0 + 15.0 * static_cast<double>(i);
                cycles.push_back(made_cycle(cue_s, cue_s + 5, cue_s + 15, i % 6 < 4 ? StepKind::hold : StepKind::rapid));
            }
            MadeSession made = boxes(100, 1.0, 10.0, cycles);
            const std::vector<float> chance = testing::white_noise(26, seed);
            for (std::size_t i = 0; i < made.envelope.uv.size(); ++i) {
                float& e = made.envelope.uv[i];
                const std::size_t cycle = i < 1500 ? 0 : std::min<std::size_t>((i - 500) / 1500, 12);  // its rest before and its work
                const bool works = e > 5.0f;
                const double time = static_cast<double>(i) / static_cast<double>(made.envelope.uv.size());
                const double own = works ? 0.14 * static_cast<double>(chance[13 + cycle]) : 0.1 * static_cast<double>(chance[cycle]);
                const double change = works ? -session.tire * time : session.restless * time;
                const double kind = works && cycle % 6 >= 4 ? 0.7 : 1.0;
                const double gain = cycle >= session.from && cycle < session.to ? session.gain : 1.0;
                e *= static_cast<float>(std::exp(own + change) * gain * kind);
            }
            times += find(made.score(), "gain_changed") != nullptr;
        }
        return times;
    };
    CHECK(found({.gain = 2.0, .from = 4, .to = 8}) >= 95);
    CHECK(found({.gain = 0.5, .from = 4, .to = 8}) >= 95);
    CHECK(found({.gain = 2.0, .from = 8, .to = 12}) >= 95);
    CHECK(found({.gain = 0.5, .from = 8, .to = 12}) >= 95);
    CHECK(found({}) == 0);
    CHECK(found({.tire = 0.7}) == 0);
    CHECK(found({.restless = 0.7}) == 0);
    CHECK(found({.tire = 0.7, .restless = 0.7}) == 0);
    CHECK(found({.tire = 0.7, .restless = -0.7}) == 0);  // both fall
    CHECK(found({.tire = -0.7, .restless = 0.7}) == 0);  // both rise
}

TEST_CASE("a session far from the plan's own reference is told from one nearby") {
    Plan plan;
    CHECK_FALSE(reference_finding(&plan, Estimate::of(100.0)));
    plan.threshold = Threshold{};
    plan.threshold->percent_of_reference = 50.0;
    CHECK_FALSE(reference_finding(&plan, Estimate::of(100.0)));  // of the session's own
    plan.threshold->reference_uv = 20.0;
    CHECK_FALSE(reference_finding(&plan, Estimate::of(80.0)));
    CHECK_FALSE(reference_finding(&plan, Estimate::of(5.0)));
    CHECK_FALSE(reference_finding(&plan, Estimate::none("no contraction was done")));
    CHECK_FALSE(reference_finding(nullptr, Estimate::of(100.0)));
    const auto high = reference_finding(&plan, Estimate::of(82.0)), low = reference_finding(&plan, Estimate::of(4.8));
    REQUIRE(high);
    REQUIRE(low);
    CHECK(high->severity == Severity::caution);
    CHECK(high->text.starts_with("the best second reads 82.0 µV, 4.1 times the plan's own reference of 20.0 µV"));
    CHECK(low->text.starts_with("the best second reads 4.8 µV, 0.24 times the plan's own reference of 20.0 µV"));
}

TEST_CASE("more than one masked spike a second of contraction is a caution") {
    const auto with_spikes = [](int count, double from_s) {
        MadeSession made = two_holds();  // ten seconds of work
        Finding spikes{"spikes", Severity::note, "spikes", {}};
        for (int i = 0; i < count; ++i) spikes.spans.push_back({from_s + 0.1 * i, from_s + 0.1 * i + 0.001});
        made.clean.quality.findings = {spikes};
        return *find(made.score(), "spikes");
    };
    CHECK(with_spikes(11, 11.0).severity == Severity::caution);
    CHECK(with_spikes(11, 11.0).text ==
          "spikes; 11 of them lie on contractions, too many for all to be found, so amplitudes may read too high");
    CHECK(with_spikes(10, 11.0).severity == Severity::note);
    CHECK(with_spikes(40, 16.0).severity == Severity::note);  // in the rest
}
