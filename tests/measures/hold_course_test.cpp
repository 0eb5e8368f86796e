// Threshold, steadiness, endurance and activity in the rest: how a contraction goes on once it is there.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "measures/made_session.hpp"

using namespace tracehold;
using namespace tracehold::test;

TEST_CASE("time above threshold is the share of the work window at or above it") {
    MadeSession made = made_session(1000, 30, [](double t) { return t >= 11 && t < 18.5 ? 20.0 : 1.0; });
    add_cycle(made, made_cycle(10, 20, 30));
    CycleView view = made.view();
    const auto value = [&](const char* key) { return measure_cycle(view)[*measure_index(key)]; };
    CHECK(value("above_threshold_pct").reason == "no threshold was set");
    view.threshold_uv = 20.0;
    CHECK(*value("above_threshold_pct").value == doctest::Approx(75.0));
    CHECK(value("reached_threshold").value == 1.0);
    view.threshold_uv = 20.1;
    CHECK(*value("above_threshold_pct").value == 0.0);
    CHECK(value("reached_threshold").value == 0.0);
}

TEST_CASE("a threshold is reached by a mean over half a second or a quarter of a short window") {
    const auto reached = [](double work_s, double above_s, double rest_of_window_uv) {
        MadeSession made = made_session(1000, 30, [=](double t) {
            return t < 10 || t >= 10 + work_s ? 1.0 : t >= 10.2 && t < 10.2 + above_s ? 20.0 : rest_of_window_uv;
        });
        add_cycle(made, made_cycle(10, 10 + work_s, 30));
        CycleView view = made.view();
        view.threshold_uv = 20.0;
        return *measure_cycle(view)[*measure_index("reached_threshold")].value == 1.0;
    };
    CHECK_FALSE(reached(6, 0.49, 19.9));
    CHECK(reached(6, 0.51, 1.0));
    CHECK_FALSE(reached(1, 0.24, 19.9));
    CHECK(reached(1, 0.26, 1.0));
    MadeSession swings = made_session(1000, 30, [](double t) {
        return t < 10 || t >= 16 ? 1.0 : 20.0 + 2.2 * std::sin(2.0 * std::numbers::pi * 4.0 * t);  // whole swings in 0.5 s
    });
    add_cycle(swings, made_cycle(10, 16, 30));
    CycleView swinging = swings.view();
    swinging.threshold_uv = 19.9;
    CHECK(measure_cycle(swinging)[*measure_index("reached_threshold")].value == 1.0);
    swinging.threshold_uv = 20.1;
    CHECK(measure_cycle(swinging)[*measure_index("reached_threshold")].value == 0.0);
    MadeSession masked = made_session(1000, 30, [](double t) { return t >= 10 && t < 10.4 ? 20.0 : 1.0; });
    add_cycle(masked, made_cycle(10, 16, 30));
    mask(masked.envelope, 10.4, 10.6);
    CycleView view = masked.view();
    view.threshold_uv = 20.0;
    CHECK(measure_cycle(view)[*measure_index("reached_threshold")].reason == "masked samples hide the moment");
}

TEST_CASE("without cues, and of an extra contraction, the hold ends before the muscle lets go") {
    // 20 µV for 5.5 s and then 1 s of fall: the window of a contraction itself holds its fall too.
    MadeSession made = made_session(1000, 30, [](double t) {
        return t < 10 || t >= 16.5 ? 1.0 : t < 15.5 ? 20.0 : 1.0 + 19.0 * (16.5 - t);
    });
    add_cycle(made, made_cycle(10, 16.5, 30));
    CHECK(*made.value("fade_pct").value < -20.0);  // by marks that is what it did before the cue
    made.cycles.from = CueSource::trace;
    CHECK(*made.value("fade_pct").value == doctest::Approx(0.0).epsilon(0.001));
    CHECK(*made.value("hold_mean_uv").value == doctest::Approx(20.0));
    made.cycles.from = CueSource::marks;
    made.cycles.cycles[0].status = CycleStatus::extra;
    CHECK(*made.value("fade_pct").value == doctest::Approx(0.0).epsilon(0.001));
}

TEST_CASE("time above threshold agrees with a count sample by sample") {
    MadeSession made = made_session(200, 30, [](double t) { return 5 + 4 * std::sin(9.1 * t) * std::cos(t); });
    add_cycle(made, made_cycle(10, 17, 30));
    mask(made.envelope, 13, 14.5);
    CycleView view = made.view();
    view.threshold_uv = 6.0;
    double above = 0.0, valid = 0.0;
    for (std::size_t i = 2000; i < 3400; ++i) {
        if (std::isnan(made.envelope.uv[i])) continue;
        valid += 1.0;
        above += made.envelope.uv[i] >= 6.0f ? 1.0 : 0.0;
    }
    CHECK(*measure_cycle(view)[*measure_index("above_threshold_pct")].value == doctest::Approx(100.0 * above / valid));
}

TEST_CASE("a straight decline fades by its share and is perfectly steady") {
    // The hold runs from 11 s at 20 µV to 19 s at 15 µV.
    MadeSession made = made_session(1000, 30, [](double t) { return 20.0 - (t - 11.0) * 5.0 / 8.0; });
    add_cycle(made, made_cycle(10, 19, 30));
    CHECK(*made.value("fade_pct").value == doctest::Approx(-25.0).epsilon(1e-5));
    CHECK(*made.value("steadiness_cv_pct").value == doctest::Approx(0.0).epsilon(1e-4));
    const MadeSession flat = boxes(1000, 1.0, 10.0, {made_cycle(10, 19, 30)});
    CHECK(*flat.value("fade_pct").value == doctest::Approx(0.0).epsilon(1e-6));
}

TEST_CASE("a sine about a level has the unsteadiness of its root mean square") {
    MadeSession made =
        made_session(1000, 30, [](double t) { return 10.0 + 2.0 * std::sin(2 * std::numbers::pi * 5 * t); });
    add_cycle(made, made_cycle(10, 21, 30));
    CHECK(*made.value("steadiness_cv_pct").value == doctest::Approx(100 * 2 / std::sqrt(2.0) / 10.0).epsilon(0.002));
    MadeSession scaled = made;
    for (float& e : scaled.envelope.uv) e *= 5.0f;
    CHECK(*scaled.value("steadiness_cv_pct").value ==
          doctest::Approx(*made.value("steadiness_cv_pct").value).epsilon(1e-5));
    CHECK(*scaled.value("fade_pct").value == doctest::Approx(*made.value("fade_pct").value).epsilon(1e-4));
}

TEST_CASE("fade agrees with the normal equations solved the long way round") {
    MadeSession made = made_session(50, 30, [](double t) { return 9 + std::sin(3 * t) - 0.3 * t; });
    add_cycle(made, made_cycle(10, 19, 30));
    mask(made.envelope, 13, 14);
    double n = 0, t1 = 0, t2 = 0, y1 = 0, ty = 0;
    for (std::size_t i = 550; i < 950; ++i) {
        if (std::isnan(made.envelope.uv[i])) continue;
        const double t = static_cast<double>(i) / 50.0 - 11.0;
        n += 1, t1 += t, t2 += t * t, y1 += made.envelope.uv[i], ty += t * made.envelope.uv[i];
    }
    const double slope = (n * ty - t1 * y1) / (n * t2 - t1 * t1);
    const double start = (y1 - slope * t1) / n;
    CHECK(*made.value("fade_pct").value == doctest::Approx(100.0 * slope * 8.0 / start).epsilon(1e-9));
}

TEST_CASE("endurance ends where the activity falls below half") {
    const auto session = [](double end_s) {
        MadeSession made = made_session(1000, 60, [=](double t) {
            return t < 10 || t >= end_s ? 1.0 : t < 12 ? 20.0 : 16.0;
        });
        add_cycle(made, made_cycle(10, 40, 60, StepKind::endurance));
        return made;
    };
    CHECK(*session(27).value("endurance_s").value == doctest::Approx(17.0).epsilon(0.01));
    CHECK(session(27).value("endurance_censored").value == 0.0);
    CHECK(*session(60).value("endurance_s").value == doctest::Approx(30.0));
    CHECK(session(60).value("endurance_censored").value == 1.0);
    // Too short before the cue to be told from a dip: a lower limit, and not the whole window.
    CHECK(*session(39).value("endurance_s").value == doctest::Approx(29.0).epsilon(0.01));
    CHECK(session(39).value("endurance_censored").value == 1.0);
    CHECK(*session(39.8).value("endurance_s").value == 30.0);
    MadeSession hold = session(27);
    hold.cycles.cycles[0].kind = StepKind::hold;
    CHECK(hold.value("endurance_s").reason == "not an endurance contraction");
}

TEST_CASE("a late start and a short dip do not end an endurance contraction") {
    MadeSession made = made_session(1000, 60, [](double t) {
        if (t < 12.5) return 1.0;             // starts 2.5 s late
        if (t >= 20 && t < 20.9) return 1.0;  // dips: the 1-s mean is low for less than 1 s
        return t < 30 ? 20.0 : 2.0;
    });
    add_cycle(made, made_cycle(10, 40, 60, StepKind::endurance));
    CHECK(*made.value("endurance_s").value == doctest::Approx(20.0).epsilon(0.01));
}

TEST_CASE("masked samples that could hide the end of an endurance contraction take it away") {
    MadeSession made = made_session(1000, 60, [](double t) { return t < 10 || t >= 33 ? 1.0 : 20.0; });
    add_cycle(made, made_cycle(10, 40, 60, StepKind::endurance));
    mask(made.envelope, 20, 20.3);
    CHECK(*made.value("endurance_s").value == doctest::Approx(23.0).epsilon(0.01));
    mask(made.envelope, 20, 22.5);
    CHECK(made.value("endurance_s").reason == "masked samples hide the moment");
}

TEST_CASE("activity in the rest counts the seconds above both levels") {
    MadeSession made = made_session(1000, 40, [](double t) {
        if (t >= 10 && t < 18) return 20.0;
        if (t >= 22 && t < 23.5) return 10.0;  // stray
        return t >= 30 && t < 31 ? 4.0 : 2.0;  // under a quarter of the lift
    });
    add_cycle(made, made_cycle(10, 18, 40));
    CHECK(*made.value("stray_s").value == doctest::Approx(1.5));
    // A faint contraction: a quarter of the lift is 0.75 µV, but the rest must rise by 2 µV.
    MadeSession faint = made_session(1000, 40, [](double t) {
        if (t >= 10 && t < 18) return 5.0;
        return t >= 22 && t < 23.5 ? 3.5 : t >= 25 && t < 26 ? 4.5 : 2.0;
    });
    add_cycle(faint, made_cycle(10, 18, 40));
    CHECK(*faint.value("stray_s").value == doctest::Approx(1.0));
}

TEST_CASE("a missed contraction keeps its amplitudes and loses what needs a contraction") {
    MadeSession made = boxes(1000, 2.0, 2.2, {made_cycle(5, 12, 25, StepKind::endurance)});
    made.cycles.cycles[0].status = CycleStatus::missed;
    for (const char* key :
         {"work_mean_uv", "hold_mean_uv", "rest_mean_uv", "peak_uv", "best_second_uv", "lift_uv", "area_uvs"}) {
        CAPTURE(std::string(key));
        CHECK(made.value(key).value);
    }
    for (const char* key :
         {"reaction_s", "time_to_hold_s", "release_s", "fade_pct", "steadiness_cv_pct", "median_frequency_hz",
          "median_frequency_slope_pct_per_s", "endurance_s", "endurance_censored", "stray_s"}) {
        CAPTURE(std::string(key));
        CHECK(made.value(key).reason == "contraction missed");
    }
    made.cycles.cycles[0].status = CycleStatus::unusable;
    const std::vector<Estimate> unusable = measure_cycle(made.view());
    for (std::size_t i = 0; i < unusable.size(); ++i) {
        const bool of_rest = i == *measure_index("rest_mean_uv");
        CHECK(unusable[i].reason == (of_rest ? "" : "too little valid signal in the cycle"));
    }
    CHECK(*unusable[*measure_index("rest_mean_uv")].value == doctest::Approx(2.0));
    mask(made.envelope, 0, 30);
    CHECK(made.value("rest_mean_uv").reason == "less than 70 % of the window is valid signal");
}
