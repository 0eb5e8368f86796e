#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "measures/made_session.hpp"

using namespace tracehold;
using namespace tracehold::test;

TEST_CASE("a box contraction has the mean of its levels") {
    const MadeSession made = boxes(1000, 2.0, 10.0, {made_cycle(5, 10, 20)});
    CHECK(*made.value("work_mean_uv").value == doctest::Approx(10.0));
    CHECK(*made.value("hold_mean_uv").value == doctest::Approx(10.0));
    CHECK(*made.value("rest_mean_uv").value == doctest::Approx(2.0));
    CHECK(*made.value("peak_uv").value == doctest::Approx(10.0));
    CHECK(*made.value("best_second_uv").value == doctest::Approx(10.0));
    CHECK(*made.value("lift_uv").value == doctest::Approx(8.0));
    CHECK(*made.value("area_uvs").value == doctest::Approx(50.0));
    CHECK_FALSE(made.value("work_mean_uv").error);  // a silent trace has no bandwidth
}

TEST_CASE("a ramp gives the closed forms of mean hold peak and best second") {
    MadeSession made = made_session(1000, 30, [](double t) { return t < 10 || t >= 14 ? 1.0 : 1.0 + (t - 10); });
    add_cycle(made, made_cycle(10, 14, 30));
    CHECK(*made.value("work_mean_uv").value == doctest::Approx(3.0).epsilon(1e-3));
    CHECK(*made.value("hold_mean_uv").value == doctest::Approx(3.5).epsilon(1e-3));  // lead 1 s
    CHECK(*made.value("peak_uv").value == doctest::Approx(5.0).epsilon(1e-3));
    CHECK(*made.value("best_second_uv").value == doctest::Approx(4.5).epsilon(1e-3));
    CHECK(*made.value("area_uvs").value == doctest::Approx(12.0).epsilon(1e-3));
}

TEST_CASE("a work mean without most of its rise is none, and one that lost as much of the plateau is given") {
    const auto ramp = [](double t) { return t < 10 || t >= 15 ? 1.0 : std::min(9.0, 1.0 + 8.0 * (t - 10)); };
    MadeSession made = made_session(200, 30, ramp);
    add_cycle(made, made_cycle(10, 15, 30));
    mask(made.envelope, 10, 10.5);
    CHECK_FALSE(made.value("work_mean_uv").value);
    CHECK(made.value("work_mean_uv").reason == "masked samples hide the rise, which is part of it");
    CHECK_FALSE(made.value("area_uvs").value);
    CHECK(*made.value("hold_mean_uv").value == doctest::Approx(9.0));
    MadeSession other = made_session(200, 30, ramp);
    add_cycle(other, made_cycle(10, 15, 30));
    mask(other.envelope, 13, 13.5);
    CHECK(*other.value("work_mean_uv").value == doctest::Approx(8.1).epsilon(0.02));
}

TEST_CASE("short windows give a third to the transitions") {
    MadeSession made = made_session(1000, 10, [](double t) { return t; });
    add_cycle(made, made_cycle(3, 4.5, 6));
    CHECK(made.view().lead_s == doctest::Approx(0.5));
    CHECK(made.view().settle_s == doctest::Approx(0.5));
    CHECK(*made.value("hold_mean_uv").value == doctest::Approx(4.0).epsilon(1e-3));
    CHECK(*made.value("rest_mean_uv").value == doctest::Approx(5.5).epsilon(1e-3));
}

TEST_CASE("the rest level is the rest before and for a first cycle the opening rest or the rest after") {
    const auto stairs = [](double t) { return t < 10 ? 1.0 : t < 20 ? 9.0 : t < 30 ? 3.0 : t < 40 ? 9.0 : 5.0; };
    MadeSession made = made_session(200, 50, stairs);
    add_cycle(made, made_cycle(10, 20, 30));
    add_cycle(made, made_cycle(30, 40, 50));
    CHECK(*made.view(0).rest_level.value == doctest::Approx(3.0));  // no plan: the rest after
    CHECK(*made.view(1).rest_level.value == doctest::Approx(3.0));
    made.plan.steps = {{StepKind::rest, 8, 0, 1}, {StepKind::hold, 10, 10, 2}};
    made.with_plan = true;
    CHECK(*made.view(0).rest_level.value == doctest::Approx(1.0));
    CHECK(made.view(0).rest_before == TimeSpan{3.0, 10.0});
    CHECK(*made.value("lift_uv", 0).value == doctest::Approx(8.0));
    mask(made.envelope, 0, 8);  // most of the opening rest is gone
    CHECK(*made.view(0).rest_level.value == doctest::Approx(3.0));
}

TEST_CASE("the rest before a contraction includes the rest step of the plan right before it") {
    const auto stairs = [](double t) { return t < 10 ? 2.0 : t < 15 ? 9.0 : t < 25 ? 5.0 : t < 55 ? 1.0 : t < 60 ? 9.0 : t < 70 ? 4.0 : 8.0; };
    MadeSession made = made_session(200, 90, stairs);
    Cycle first = made_cycle(10, 15, 25), second = made_cycle(55, 60, 70);
    first.step = 0;
    second.step = 2;
    add_cycle(made, first);
    add_cycle(made, second);
    made.plan.steps = {{StepKind::hold, 5, 10, 1}, {StepKind::rest, 30, 0, 1}, {StepKind::hold, 5, 10, 1}, {StepKind::rest, 20, 0, 1}};
    made.with_plan = true;
    CHECK(made.view(1).rest_before == TimeSpan{16.0, 55.0});
    CHECK(*made.view(1).rest_level.value == doctest::Approx(1.0));
    // Each rest is that of its own contraction: what comes after it is in no mean.
    CHECK(*made.value("rest_mean_uv", 0).value == doctest::Approx(5.0));
    CHECK(*made.value("rest_mean_uv", 1).value == doctest::Approx(4.0));
    // After a pause the rest ends with the rest step.
    made.cycles.cycles[1].work = {80, 85};
    made.cycles.cycles[1].rest = {85, 90};
    CHECK(made.view(1).rest_before == TimeSpan{16.0, 55.0});
    made.with_plan = false;
    CHECK(made.view(1).rest_before == TimeSpan{16.0, 25.0});
}

TEST_CASE("a rest before is cut where an extra contraction begins") {
    MadeSession made = made_session(200, 40, [](double t) { return t >= 20 && t < 22 ? 8.0 : t < 18 ? 2.0 : 3.0; });
    add_cycle(made, made_cycle(5, 10, 30));
    Cycle extra = made_cycle(20, 22, 22);
    extra.status = CycleStatus::extra;
    add_cycle(made, extra);
    CHECK(made.view(1).rest_before == TimeSpan{11.0, 20.0});
    CHECK(made.value("rest_mean_uv", 1).reason == "no rest follows the contraction");
    CHECK(*made.value("lift_uv", 1).value == doctest::Approx(6.0));
}

TEST_CASE("amplitudes scale with the signal and do not depend on when it happened") {
    const auto shape = [](double t) { return 2.0 + std::sin(t) + (t > 12 && t < 19 ? 9.0 : 0.0); };
    MadeSession one = made_session(500, 40, shape);
    add_cycle(one, made_cycle(12, 19, 30));
    MadeSession scaled = made_session(500, 40, [&](double t) { return 3.0 * shape(t); });
    add_cycle(scaled, made_cycle(12, 19, 30));
    MadeSession later = made_session(500, 60, [&](double t) { return shape(t - 7.0); });
    add_cycle(later, made_cycle(19, 26, 37));
    for (const char* key :
         {"work_mean_uv", "hold_mean_uv", "rest_mean_uv", "peak_uv", "best_second_uv", "lift_uv", "area_uvs"}) {
        CAPTURE(std::string(key));
        CHECK(*scaled.value(key).value == doctest::Approx(3.0 * *one.value(key).value).epsilon(1e-6));
        CHECK(*later.value(key).value == doctest::Approx(*one.value(key).value).epsilon(1e-6));
    }
}

TEST_CASE("the best second agrees with looking at every second") {
    MadeSession made = made_session(100, 30, [](double t) { return 5 + 2 * std::sin(7.3 * t) + std::cos(t * t); });
    add_cycle(made, made_cycle(10.01, 17.34, 30));
    mask(made.envelope, 12.0, 12.25);
    mask(made.envelope, 15.0, 15.6);
    double best = 0.0;
    for (int begin = 1001; begin + 100 <= 1734; ++begin) {
        double sum = 0.0;
        int valid = 0;
        for (int i = begin; i < begin + 100; ++i) {
            const float e = made.envelope.uv[static_cast<std::size_t>(i)];
            if (!std::isnan(e)) sum += e, ++valid;
        }
        if (valid >= 70) best = std::max(best, sum / valid);
    }
    CHECK(*made.value("best_second_uv").value == doctest::Approx(best).epsilon(1e-12));
}

TEST_CASE("a quick contraction of exactly one second has a best second and a shorter one has none") {
    const MadeSession one = boxes(250, 1.0, 4.0, {made_cycle(2, 3, 7, StepKind::rapid)});
    CHECK(*one.value("best_second_uv").value == doctest::Approx(4.0));
    const MadeSession half = boxes(250, 1.0, 4.0, {made_cycle(2, 2.5, 7, StepKind::rapid)});
    CHECK(half.value("best_second_uv").reason == "the contraction is shorter than 1 s");
}

TEST_CASE("a window with less than 70 percent valid samples gives no number") {
    MadeSession made = boxes(1000, 2.0, 10.0, {made_cycle(10, 20, 30)});
    mask(made.envelope, 12, 14.9);
    CHECK(*made.value("work_mean_uv").value == doctest::Approx(10.0));
    CHECK(*made.value("area_uvs").value == doctest::Approx(100.0));  // the gap counts with the mean
    mask(made.envelope, 12, 15.2);
    for (const char* key : {"work_mean_uv", "hold_mean_uv", "peak_uv", "best_second_uv", "lift_uv", "area_uvs"}) {
        CAPTURE(std::string(key));
        CHECK(made.value(key).reason == "less than 70 % of the window is valid signal");
    }
    CHECK(made.value("rest_mean_uv").value);
}

TEST_CASE("of what the recorder's limits cut off there is no amplitude but times and rest remain") {
    MadeSession made = boxes(1000, 2.0, 10.0, {made_cycle(10, 20, 30), made_cycle(40, 50, 60)});
    made.cycles.cycles[0].onset = EventTime{10.5, 0.01};
    const auto cut = [&](double begin_s, double every_s, double length_s) {
        made.clean.clipped.clear();
        for (double t = begin_s; t < begin_s + 9.995; t += every_s) made.clean.clipped.push_back({t, t + length_s});
    };
    const std::string why = "the recorder's limits cut off more than 2 % of it: it would read too low";
    cut(10.0, 0.1, 0.0019);
    CHECK(*made.value("hold_mean_uv").value == doctest::Approx(10.0));
    cut(10.0, 0.1, 0.0021);
    for (const char* key : {"work_mean_uv", "hold_mean_uv", "peak_uv", "best_second_uv", "lift_uv", "area_uvs", "fade_pct", "median_frequency_hz"}) {
        CAPTURE(std::string(key));
        CHECK(made.value(key).reason == why);
    }
    CHECK(*made.value("reaction_s").value == doctest::Approx(0.5));
    CHECK(made.value("rest_mean_uv").value);
    CHECK(made.value("hold_mean_uv", 1).value);
    cut(20.5, 0.1, 0.0021);
    CHECK(made.value("hold_mean_uv").value);
    CHECK(made.value("rest_mean_uv").reason == why);
}

TEST_CASE("a recording that ends within the window lacks what should have come") {
    MadeSession made = made_session(1000, 15, [](double) { return 3.0; });
    add_cycle(made, made_cycle(10, 20, 30));
    CHECK(made.value("work_mean_uv").reason == "less than 70 % of the window is valid signal");
    CHECK(made.value("rest_mean_uv").reason == "less than 70 % of the window is valid signal");
}

TEST_CASE("an empty recording one sample and infinite samples give reasons and no numbers") {
    for (const double length_s : {0.0, 0.001}) {
        MadeSession made = made_session(1000, length_s, [](double) { return 1.0; });
        add_cycle(made, made_cycle(1, 2, 3));
        for (const Estimate& estimate : measure_cycle(made.view())) {
            CHECK_FALSE(estimate.value);
            CHECK_FALSE(estimate.reason.empty());
        }
    }
    MadeSession made = boxes(1000, 2.0, 10.0, {made_cycle(10, 20, 30)});
    made.envelope.uv[15000] = std::numeric_limits<float>::infinity();
    CHECK(*made.value("work_mean_uv").value == doctest::Approx(10.0));
    CHECK(*made.value("peak_uv").value == doctest::Approx(10.0));
}
