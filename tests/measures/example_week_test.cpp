// What the example week scores to, number by number. None of it is a truth, that is what the other tests are for: it tells that
// a number has changed, also by less than they can see, and by which step. Read the difference, then accept it.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <string>

#include "measures/told_score.hpp"
#include "support/golden.hpp"
#include "tracehold/plan/read_plan.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

constexpr double kTolerance = 2e-5;  // compilers and processors differ in the last digits of sums of floats

const std::string kExamples = SOURCE_DIR "/examples/";

}  // namespace

TEST_CASE("the example week scores to its golden numbers") {
    const Plan plan = read_plan(read_bytes(kExamples + "plan-home-a.jsonc"), "plan");
    std::string text = "values:";
    for (const Measure& measure : measure_list()) text += " " + std::string(measure.key);
    text += "\n";
    int number = 0;
    for (const Scenario& scenario : read_scenarios(read_bytes(kExamples + "scenarios/home-week.json"), "week", plan))
        text += fmt::format("session {} {}", ++number, told(score_of(simulate_recording(scenario).recording, &plan)));
    CHECK_GOLDEN_NUMBERS("example_week.txt", text, kTolerance);
}
