#include "tracehold/plan/follows_plan.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <vector>

using namespace tracehold;

namespace {

Plan home() {
    Plan plan;
    plan.posture = "lying";
    plan.steps = {{StepKind::rest, 30.0, 0.0, 1}, {StepKind::hold, 6.0, 9.0, 8},  {StepKind::rest, 6.0, 0.0, 1},
                  {StepKind::rapid, 1.0, 4.0, 6}, {StepKind::rest, 10.0, 0.0, 1}, {StepKind::endurance, 20.0, 24.0, 1}};
    return plan;
}

Plan visit() {
    Plan plan;
    plan.posture = "lying";
    plan.steps = {{StepKind::rest, 20.0, 0.0, 1}, {StepKind::hold, 5.0, 25.0, 3}};
    return plan;
}

std::vector<TimeSpan> cued(const Plan& plan, double from_s = 0.0) {
    std::vector<TimeSpan> work;
    for (const PlannedCycle& cycle : timeline(plan))
        work.push_back({from_s + cycle.contract_s, from_s + cycle.relax_s});
    return work;
}

// All ways of choosing some windows and as many contractions, both in order: for a few only.
std::size_t slow_longest(const std::vector<TimeSpan>& work, const Plan& plan, std::size_t i = 0, std::size_t j = 0) {
    const auto planned = timeline(plan);
    if (i == work.size() || j == planned.size()) return 0;
    const auto alike = [](double seen, double wanted) {
        return std::abs(seen - wanted) <= std::max(0.5, 0.1 * wanted);
    };
    std::size_t best = std::max(slow_longest(work, plan, i + 1, j), slow_longest(work, plan, i, j + 1));
    const bool length = alike(work[i].length_s(), planned[j].relax_s - planned[j].contract_s);
    const bool last = i + 1 == work.size() || j + 1 == planned.size();
    if (length &&
        (last || alike(work[i + 1].begin_s - work[i].begin_s, planned[j + 1].contract_s - planned[j].contract_s))) {
        best = std::max(best, 1 + slow_longest(work, plan, i + 1, j + 1));
    }
    return best;
}

}  // namespace

TEST_CASE("cues of a plan follow it wherever they start and no other plan") {
    for (const double from_s : {0.0, 3.7, 900.0}) {
        CHECK(follows_plan(cued(home(), from_s), home()));
        CHECK(follows_plan(cued(visit(), from_s), visit()));
        CHECK_FALSE(follows_plan(cued(visit(), from_s), home()));
        CHECK_FALSE(follows_plan(cued(home(), from_s), visit()));
    }
}

TEST_CASE("a session that is cut or paused or has lost cues still follows its plan") {
    const auto whole = cued(home());
    for (std::size_t n = 1; n <= whole.size(); ++n) {
        CHECK(follows_plan(std::span(whole).first(n), home()));
        CHECK(follows_plan(std::span(whole).last(n), home()));
    }
    auto paused = whole;
    for (std::size_t i = 4; i < paused.size(); ++i) paused[i] = {paused[i].begin_s + 45.0, paused[i].end_s + 45.0};
    CHECK(follows_plan(paused, home()));
    auto holes = whole;
    holes.erase(holes.begin() + 9);
    holes.erase(holes.begin() + 3);
    CHECK(follows_plan(holes, home()));
}

TEST_CASE("marks set by hand follow within half a second") {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> early_or_late(-0.12, 0.12);
    for (int round = 0; round < 200; ++round) {
        auto work = cued(home());
        for (TimeSpan& span : work) span = {span.begin_s + early_or_late(random), span.end_s + early_or_late(random)};
        CHECK(follows_plan(work, home()));
        CHECK_FALSE(follows_plan(work, visit()));
    }
}

TEST_CASE("holds of the right length with another rest are of another plan") {
    Plan other = home();
    other.steps[1].rest_seconds = 25.0;
    other.steps.resize(2);
    CHECK_FALSE(follows_plan(cued(other), home()));
}

TEST_CASE("no cues contradict nothing and one is held against every contraction") {
    CHECK(follows_plan({}, home()));
    for (const double length_s : {1.0, 6.0, 20.0})
        CHECK(follows_plan(std::vector<TimeSpan>{{5.0, 5.0 + length_s}}, home()));
    for (const double length_s : {3.0, 10.0, 60.0})
        CHECK_FALSE(follows_plan(std::vector<TimeSpan>{{5.0, 5.0 + length_s}}, home()));
}

TEST_CASE("the quick way finds what trying every choice finds") {
    std::mt19937 random(11);
    std::uniform_int_distribution<int> length(1, 7), rest(2, 10);
    Plan plan;
    plan.posture = "lying";
    plan.steps = {{StepKind::hold, 3.0, 4.0, 2}, {StepKind::rapid, 1.0, 3.0, 3}, {StepKind::hold, 6.0, 9.0, 2}};
    int follow = 0;
    for (int round = 0; round < 400; ++round) {
        std::vector<TimeSpan> work;
        double now = 0.0;
        const auto planned = timeline(plan);
        for (std::size_t i = 0; i < 6; ++i) {
            const bool by_plan = random() % 3 != 0;
            const double work_s = by_plan ? planned[i].relax_s - planned[i].contract_s : length(random);
            work.push_back({now, now + work_s});
            now += work_s + (by_plan ? planned[i].end_s - planned[i].relax_s : rest(random));
        }
        const bool slow = 2 * slow_longest(work, plan) >= work.size();
        CHECK(follows_plan(work, plan) == slow);
        follow += slow;
    }
    CHECK(follow > 20);
    CHECK(follow < 380);
}
