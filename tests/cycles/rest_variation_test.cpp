#include "cycles/rest_variation.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>

using namespace tracehold;

namespace {

constexpr double kLength_s = 160.0;

// Ten windows of 5 s, 10 s apart, after 10 s.
std::vector<TimeSpan> ten_windows() {
    std::vector<TimeSpan> windows;
    for (int i = 0; i < 10; ++i) windows.push_back({10.0 + 15.0 * i, 15.0 + 15.0 * i});
    return windows;
}

PowerSteps steps_of(const std::function<double(double)>& log_power) {
    PowerSteps steps{0.01, 0.0, {}};
    for (int i = 0; i < static_cast<int>(kLength_s / steps.step_s); ++i)
        steps.power.push_back(std::exp(log_power((i + 0.5) * steps.step_s)));
    return steps;
}

// The answer for each of the ten windows.
std::vector<bool> answers(const PowerSteps& steps) {
    const std::vector<TimeSpan> windows = ten_windows();
    const RestVariation rest = rest_variation(steps, windows);
    std::vector<bool> out;
    for (const TimeSpan w : windows) out.push_back(above_rest(steps, rest, w, w));
    return out;
}

bool inside(TimeSpan w, double t) { return t >= w.begin_s && t < w.end_s; }

double wave(double t, double height, double period_s = 41.0) {
    return height * std::sin(2.0 * std::numbers::pi * t / period_s);
}

// Rest that goes up and down by 0.2 and contractions of the given height in every second window.
double every_second(double t, double height) {
    const std::vector<TimeSpan> windows = ten_windows();
    double level = wave(t, 0.2);
    for (std::size_t i = 0; i < windows.size(); i += 2) level += inside(windows[i], t) ? height : 0.0;
    return level;
}

const std::vector<bool> kEverySecond{true, false, true, false, true, false, true, false, true, false};

}  // namespace

TEST_CASE("steady rest lets through what is above it and nothing that is not") {
    const auto none = answers(steps_of([](double) { return 0.0; }));
    CHECK(std::count(none.begin(), none.end(), true) == 0);
    const auto faint = answers(steps_of([](double t) { return every_second(t, 0.9) - wave(t, 0.2); }));
    CHECK(faint == kEverySecond);
}

TEST_CASE("a wave of any usual height is rest in all its phases") {
    for (const double height : {0.1, 0.5, 1.0})
        for (const double period : {30.0, 41.0, 80.0, 300.0})
            for (int phase = 0; phase < 8; ++phase) {
                const auto found =
                    answers(steps_of([&](double t) { return wave(t + phase * period / 8.0, height, period); }));
                CAPTURE(height);
                CAPTURE(period);
                CHECK(std::count(found.begin(), found.end(), true) == 0);
            }
}

TEST_CASE("a drift through the windows and a step within one are no contractions") {
    const auto drift = answers(steps_of([](double t) { return 0.02 * t; }));
    CHECK(std::count(drift.begin(), drift.end(), true) == 0);
    const auto step = answers(steps_of([](double t) { return t < 71.0 ? 0.0 : 1.0; }));
    CHECK(std::count(step.begin(), step.end(), true) == 0);
}

TEST_CASE("contractions above the wander are told from it") {
    CHECK(answers(steps_of([](double t) { return every_second(t, 1.2); })) == kEverySecond);
}

TEST_CASE("neither scale nor the direction of time changes an answer") {
    const PowerSteps steps = steps_of([](double t) { return every_second(t, 1.2); });
    PowerSteps larger = steps;
    for (double& p : larger.power) p *= 1e6;
    CHECK(answers(larger) == answers(steps));
    PowerSteps turned = steps_of([](double t) { return every_second(kLength_s - t, 1.2); });
    const RestVariation rest = rest_variation(turned, ten_windows());
    std::vector<bool> backward;
    for (const TimeSpan w : ten_windows()) backward.push_back(above_rest(turned, rest, w, w));
    std::reverse(backward.begin(), backward.end());
    CHECK(backward == kEverySecond);
}

TEST_CASE("a slow release after the whole run and beats in the rest do not hide contractions") {
    PowerSteps steps = steps_of([](double t) { return every_second(t, 1.2); });
    for (std::size_t i = 0; i < steps.power.size(); i += 90)
        for (std::size_t k = i; k < std::min(i + 8, steps.power.size()); ++k) steps.power[k] *= 20.0;
    CHECK(answers(steps) == kEverySecond);
    const PowerSteps slow = steps_of([](double t) {
        return t >= 55.0 && t < 60.0 ? 2.0 : t >= 60.0 && t < 63.0 ? 1.6 : 0.0;
    });
    const RestVariation rest = rest_variation(slow, ten_windows());
    CHECK(above_rest(slow, rest, {55.0, 60.0}, {55.0, 63.0}));
}

TEST_CASE("a muscle that lets go late and comes to rest before the next cue was above rest") {
    // Each window and 2.4 s after it, of which most of what lies beside the window; then quiet.
    const auto late = [](double t) {
        double level = wave(t, 0.3);
        for (const TimeSpan w : ten_windows())
            level += inside(w, t) ? 3.0 : inside({w.end_s, w.end_s + 2.4}, t) ? 2.9 : 0.0;
        return level;
    };
    const auto found = answers(steps_of(late));
    CHECK(std::count(found.begin(), found.end(), true) == 10);
    // One that never comes to rest is not told from rest that jumps.
    const auto stays = answers(steps_of([&](double t) { return t < 70.0 ? late(t) : 3.0 + wave(t, 0.3); }));
    CHECK(std::count(stays.begin() + 4, stays.end(), true) == 0);
}

TEST_CASE("contractions let go of so late that most of each rest is theirs are told where a little quiet is left between them") {
    const std::vector<TimeSpan> windows = ten_windows();
    // Up from 0.3 s after each cue to 8.9 s after its end; without a quiet moment from the fifth to the sixth, which nobody did.
    const auto late = [&](double t, bool through) {
        double level = wave(t, 0.2);
        for (std::size_t i = 0; i < windows.size(); ++i) {
            const TimeSpan up{windows[i].begin_s + 0.3, windows[i].end_s + 8.9};
            if (inside(up, t) || (through && inside({windows[4].begin_s + 0.3, windows[5].end_s + 8.9}, t))) return level + 3.5;
        }
        return level;
    };
    const auto all = answers(steps_of([&](double t) { return late(t, false); }));
    CHECK(std::count(all.begin(), all.end(), true) == 10);
    const auto but_one = answers(steps_of([&](double t) { return late(t, true); }));
    CHECK_FALSE(but_one[5]);
    CHECK(but_one[6]);
    CHECK(but_one[3]);
}

TEST_CASE("contractions that nobody asked for between the windows do not hide those in them") {
    const auto found = answers(steps_of([](double t) {
        double level = wave(t, 0.1);
        for (const TimeSpan w : ten_windows())
            level += inside(w, t) || inside({w.end_s + 3.2, w.end_s + 8.0}, t) ? 3.7 : 0.0;
        return level;
    }));
    CHECK(std::count(found.begin(), found.end(), true) == 10);
}

TEST_CASE("where there is nothing to compare with nothing speaks against a contraction") {
    const PowerSteps empty;
    CHECK(above_rest(empty, rest_variation(empty, {}), {0.0, 1.0}, {0.0, 1.0}));
    const PowerSteps steps = steps_of([](double t) { return wave(t, 0.2); });
    const std::vector<TimeSpan> everything{{0.0, kLength_s}};
    CHECK(above_rest(steps, rest_variation(steps, everything), {20.0, 30.0}, {20.0, 30.0}));
    PowerSteps masked = steps;
    std::fill(masked.power.begin(), masked.power.end(), std::numeric_limits<double>::quiet_NaN());
    CHECK(above_rest(masked, rest_variation(masked, ten_windows()), {25.0, 30.0}, {25.0, 30.0}));
    PowerSteps silent = steps;
    std::fill(silent.power.begin(), silent.power.end(), 0.0);
    const auto found = answers(silent);
    CHECK(std::count(found.begin(), found.end(), true) == 0);
}
