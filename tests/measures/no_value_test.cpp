// Each reason for which a measure gives no number, on the smallest session that has it. The texts are read by
// clinicians, so they are held word for word.
#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "measures/made_session.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

const std::string kTooLittle = "less than 70 % of the window is valid signal";

MadeSession held() { return boxes(100, 2.0, 20.0, {made_cycle(10, 18, 30)}); }

// A raw trace of one tone, so that spectra have something to say.
MadeSession sounding(double hz) {
    MadeSession made = boxes(1000, 2.0, 20.0, {made_cycle(10, 18, 30)});
    for (std::size_t i = 0; i < made.clean.uv.size(); ++i) {
        made.clean.uv[i] =
            static_cast<float>(20.0 * std::sin(2.0 * 3.141592653589793 * hz * static_cast<double>(i) / 1000.0));
    }
    return made;
}

}  // namespace

TEST_CASE("a work window that is mostly masked takes all its amplitudes away") {
    MadeSession made = held();
    mask(made.envelope, 10, 12.5);  // 69 % of 8 s are left
    for (const char* key : {"work_mean_uv", "peak_uv", "best_second_uv", "area_uvs", "time_to_hold_s"}) {
        CAPTURE(std::string(key));
        CHECK(made.value(key).reason == kTooLittle);
    }
    MadeSession enough = held();
    mask(enough.envelope, 12, 14.4);  // exactly 70 %, none of it in the first second
    CHECK(enough.value("work_mean_uv").value);
    CHECK(enough.value("peak_uv").value);
}

TEST_CASE("a rest that is mostly masked takes the values of that rest away and no others") {
    MadeSession made = held();
    made.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 8, 12, 1}};
    made.with_plan = true;
    mask(made.envelope, 18, 24);
    for (const char* key : {"rest_mean_uv", "stray_s", "release_s"}) {
        CAPTURE(std::string(key));
        CHECK(made.value(key).reason == kTooLittle);
    }
    CHECK(*made.value("lift_uv").value == doctest::Approx(18.0));
}

TEST_CASE("no rest level means no lift and no times that need one") {
    MadeSession made = held();
    mask(made.envelope, 0, 10);
    mask(made.envelope, 18, 30);
    const std::string why = made.view().rest_level.reason;
    CHECK_FALSE(why.empty());
    for (const char* key : {"lift_uv", "time_to_hold_s"}) {
        CAPTURE(std::string(key));
        CHECK(made.value(key).reason == why);
    }
}

TEST_CASE("a best second needs a second of which seven tenths are valid") {
    MadeSession made = boxes(10, 2.0, 20.0, {made_cycle(10, 12.5, 30)});
    CHECK(made.value("best_second_uv").value == 20.0);
    CHECK(boxes(10, 2.0, 20.0, {made_cycle(10, 10.9, 30)}).value("best_second_uv").reason ==
          "the contraction is shorter than 1 s");
    // Of 1.2 s nine samples in twelve are valid; each second in it has seven of ten.
    MadeSession scattered = boxes(10, 2.0, 20.0, {made_cycle(10, 11.2, 30)});
    mask(scattered.envelope, 10.4, 10.7);
    CHECK(scattered.value("best_second_uv").value == 20.0);
}

TEST_CASE("endurance needs a valid second among the first five and a valid window") {
    MadeSession made = boxes(10, 2.0, 20.0, {made_cycle(10, 40, 60, StepKind::endurance)});
    mask(made.envelope, 10, 15.1);
    CHECK(made.value("endurance_s").reason == "no second of the first 5 s is 70 % valid");
    CHECK(made.value("endurance_censored").reason == "no second of the first 5 s is 70 % valid");
    mask(made.envelope, 10, 20);
    CHECK(made.value("endurance_s").reason == kTooLittle);
    const MadeSession whole = boxes(10, 2.0, 20.0, {made_cycle(10, 40, 60, StepKind::endurance)});
    CHECK(whole.value("endurance_s").value == 30.0);
    CHECK(whole.value("endurance_censored").value == 1.0);
}

TEST_CASE("share above a threshold needs a valid window") {
    MadeSession made = held();
    made.plan.threshold = Threshold{12.0, {}, {}};
    made.with_plan = true;
    mask(made.envelope, 10, 13);
    const SessionScore score = made.score();
    CHECK(score.cycles[0].values[*measure_index("above_threshold_pct")].reason == kTooLittle);
    CHECK(score.cycles[0].values[*measure_index("reached_threshold")].reason == kTooLittle);
}

TEST_CASE("the hold level must be reached in the work window") {
    // The level is the median of the hold, its nine tenths are passed for single samples only.
    MadeSession made = made_session(100, 30, [](double t) {
        if (t < 10 || t >= 18) return 2.0;
        return std::fmod(t * 100.0 + 0.5, 9.0) < 8.0 ? 20.0 : 3.0;
    });
    add_cycle(made, made_cycle(10, 18, 30));
    made.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 8, 12, 1}};
    made.with_plan = true;
    CHECK(made.value("time_to_hold_s").reason == "the hold level was not kept for 0.1 s");
}

TEST_CASE("a cycle without onset and without a reason still gives one") {
    MadeSession made = held();
    made.cycles.cycles[0].onset_reason.clear();
    CHECK(made.value("reaction_s").reason == "onset not detectable");
    made.cycles.cycles[0].onset_reason = "a heart beat hides it";
    CHECK(made.value("reaction_s").reason == "a heart beat hides it");
}

TEST_CASE("lines that start at nothing give no fade and a hold of nothing no unsteadiness") {
    // A hold that rises from far below: the line would start below zero.
    MadeSession rising = made_session(100, 30, [](double t) { return t >= 16 && t < 18 ? 50.0 * (t - 16) : 0.0; });
    add_cycle(rising, made_cycle(10, 18, 30));
    CHECK(rising.value("fade_pct").reason == "the line through the hold does not start above 0");
    CHECK(rising.value("steadiness_cv_pct").value);
    MadeSession silent = boxes(100, 0.0, 0.0, {made_cycle(10, 18, 30)});
    CHECK(silent.value("fade_pct").reason == "the line through the hold does not start above 0");
    CHECK(silent.value("steadiness_cv_pct").reason == "the mean of the hold is 0");
    // A hold of 6 s let go after its first second: the line falls from above to below nothing.
    MadeSession dropped = made_session(100, 30, [](double t) { return t >= 10 && t < 12 ? 20.0 : 0.0; });
    add_cycle(dropped, made_cycle(10, 17, 30));
    CHECK(dropped.value("fade_pct").reason == "a straight line does not follow the hold: it would end below 0");
    // A third of the way up when the hold begins: the line from 4 to 28 grows sixfold.
    MadeSession growing = made_session(100, 30, [](double t) { return t >= 10 && t < 17 ? 4.0 * (t - 10.0) : 0.0; });
    add_cycle(growing, made_cycle(10, 17, 30));
    CHECK(growing.value("fade_pct").reason == "the activity more than doubles over the hold: that is a rise, and no hold that could fade");
    CHECK(growing.value("steadiness_cv_pct").value);
    // Begun half a second into the hold: known by its onset, the hold begins later and does not grow.
    MadeSession late = made_session(100, 30, [](double t) { return t >= 11.5 && t < 20 ? 20.0 : 2.0; });
    add_cycle(late, made_cycle(10, 20, 30));
    CHECK(*late.value("fade_pct").value > 10.0);
    CHECK(*late.value("steadiness_cv_pct").value > 10.0);
    late.cycles.cycles[0].onset = EventTime{.time_s = 11.5};
    for (const char* key : {"fade_pct", "steadiness_cv_pct"}) CHECK(*late.value(key).value == doctest::Approx(0.0).epsilon(1e-4));
    // One sample a second: a hold of 2 s has 2.
    MadeSession coarse = boxes(1, 2.0, 20.0, {made_cycle(10, 13, 30)});
    CHECK(coarse.value("fade_pct").reason == "too few samples in the hold");
    CHECK(coarse.value("steadiness_cv_pct").reason == "too few samples in the hold");
    CHECK(boxes(1, 2.0, 20.0, {made_cycle(10, 14, 30)}).value("fade_pct").value == doctest::Approx(0.0));
    CHECK(boxes(100, 2.0, 20.0, {made_cycle(10, 12.9, 30)}).value("fade_pct").reason == "the hold is shorter than 2 s");
}

TEST_CASE("a spectrum needs raw samples and power in the band") {
    CHECK(*sounding(100).value("median_frequency_hz").value == doctest::Approx(100.0).epsilon(0.02));
    CHECK(sounding(100).value("median_frequency_slope_pct_per_s").value == doctest::Approx(0.0));
    MadeSession silent = sounding(100);
    for (float& v : silent.clean.uv) v = 0.0f;
    CHECK(silent.value("median_frequency_hz").reason == "no power between 20 and 450 Hz");
    CHECK(silent.value("median_frequency_slope_pct_per_s").reason == "fewer than 3 valid seconds in the hold");
    MadeSession exported = sounding(100);
    exported.clean.kind = ChannelKind::envelope;
    for (const char* key : {"median_frequency_hz", "median_frequency_slope_pct_per_s"}) {
        CHECK(exported.value(key).reason == "no spectrum from an exported envelope");
    }
    MadeSession behind = sounding(100);  // the raw trace ends before the hold
    behind.clean.uv.resize(10000);
    CHECK(behind.value("median_frequency_hz").reason == kTooLittle);
    CHECK(behind.value("median_frequency_slope_pct_per_s").reason == kTooLittle);
}

TEST_CASE("no half second without a mask gives no spectrum") {
    MadeSession made = sounding(100);
    for (std::size_t i = 0; i < made.clean.uv.size(); i += 400) made.clean.uv[i] = kMasked;
    CHECK(made.value("median_frequency_hz").reason == "no 0.5 s without masked samples");
    CHECK(made.value("median_frequency_slope_pct_per_s").reason == "fewer than 3 valid seconds in the hold");
}

TEST_CASE("a work window between two samples is empty") {
    MadeSession made = held();
    made.cycles.cycles[0].work = {10.001, 10.004};
    made.cycles.cycles[0].rest = {10.004, 30};
    CHECK(made.value("work_mean_uv").reason == "the window is empty");
    CHECK(made.value("median_frequency_hz").reason == "the window is empty");
}

TEST_CASE("an accessory that ends early or is masked gives reasons of its own") {
    MadeSession made = held();
    made.accessory = made_envelope(100, 30, [](double t) { return 5.0 + std::sin(3 * t); });
    made.accessory->uv.resize(1200);  // of 8 s of work 2 s are left
    CHECK(made.value("coactivity_pct").reason == kTooLittle);
    CHECK(made.value("coactivity_correlation").reason == kTooLittle);
    made.accessory->uv.assign(3000, kMasked);
    CHECK(made.value("coactivity_pct").reason == "the accessory channel has no valid second above 0");
    mask(made.envelope, 10, 13);
    CHECK(made.value("coactivity_correlation").reason == kTooLittle);
    MadeSession still = held();  // the channel that is scored does not vary
    still.accessory = made_envelope(100, 30, [](double t) { return 5.0 + std::sin(3 * t); });
    CHECK(still.value("coactivity_correlation").reason == "one of the channels does not vary");
}
