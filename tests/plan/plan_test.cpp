#include "tracehold/plan/plan.hpp"

#include <doctest/doctest.h>

using namespace tracehold;

namespace {

Plan plan_of(std::vector<Step> steps) {
    Plan plan;
    plan.steps = std::move(steps);
    return plan;
}

}  // namespace

TEST_CASE("a timeline written out by hand") {
    const Plan plan = plan_of({{StepKind::rest, 20, 0, 1}, {StepKind::hold, 8, 10, 2}, {StepKind::rapid, 1, 4, 1}});
    const std::vector<PlannedCycle> expected = {
        {1, StepKind::hold, 20, 28, 38}, {1, StepKind::hold, 38, 46, 56}, {2, StepKind::rapid, 56, 57, 61}};
    CHECK(timeline(plan) == expected);
    CHECK(plan_length(plan).value == 61.0);
}

TEST_CASE("a rest step after a cycle extends its rest and a leading one only shifts") {
    const Plan plan = plan_of({{StepKind::hold, 5, 5, 1},
                               {StepKind::rest, 30, 0, 1},
                               {StepKind::rest, 7, 0, 1},
                               {StepKind::endurance, 30, 10, 1},
                               {StepKind::rest, 60, 0, 1}});
    const auto cycles = timeline(plan);
    REQUIRE(cycles.size() == 2);
    CHECK(cycles[0].end_s == 47.0);
    CHECK(cycles[1].contract_s == 47.0);
    CHECK(cycles[1].end_s == 147.0);
    CHECK(plan_length(plan).value == 147.0);

    Plan later = plan;
    later.steps.insert(later.steps.begin(), {StepKind::rest, 12.5, 0, 1});
    const auto shifted = timeline(later);
    REQUIRE(shifted.size() == cycles.size());
    for (std::size_t i = 0; i < cycles.size(); ++i) {
        CHECK(shifted[i].contract_s == cycles[i].contract_s + 12.5);
        CHECK(shifted[i].end_s == cycles[i].end_s + 12.5);
    }
}

TEST_CASE("cycles of a timeline meet without gap or overlap") {
    const Plan plan =
        plan_of({{StepKind::rest, 3, 0, 1}, {StepKind::hold, 0.7, 0.3, 50}, {StepKind::rapid, 0.1, 0.2, 30}});
    const auto cycles = timeline(plan);
    REQUIRE(cycles.size() == 80);
    for (std::size_t i = 0; i + 1 < cycles.size(); ++i) {
        CHECK(cycles[i].contract_s < cycles[i].relax_s);
        CHECK(cycles[i].relax_s < cycles[i].end_s);
        CHECK(cycles[i].end_s == cycles[i + 1].contract_s);
    }
    CHECK(cycles.back().end_s == doctest::Approx(plan_length(plan).value).epsilon(1e-12));
}

TEST_CASE("a plan without steps has no cycles") {
    CHECK(timeline(Plan{}).empty());
    CHECK(plan_length(Plan{}).value == 0.0);
}
