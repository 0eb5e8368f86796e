#include <doctest/doctest.h>

#include "tracehold/plan/read_plan.hpp"
#include "tracehold/plan/replace_threshold.hpp"

using namespace tracehold;

namespace {

const std::string kHead = R"({"schema": "tracehold.plan/1", "name": "x", "posture": "lying",
  "steps": [{"do": "hold", "seconds": 5, "rest_seconds": 5}])";

// Read again, everything but the threshold is as before.
void check_only_threshold_differs(const std::string& before, const std::string& after, const Threshold& wanted) {
    Plan old_plan = read_plan(before, "p"), new_plan = read_plan(after, "p");
    REQUIRE(new_plan.threshold);
    CHECK(*new_plan.threshold == wanted);
    new_plan.threshold = old_plan.threshold;
    new_plan.sha256 = old_plan.sha256;
    CHECK(new_plan == old_plan);
}

}  // namespace

TEST_CASE("only the threshold changes and comments stay") {
    const Threshold half{.microvolts = {}, .percent_of_reference = 50.0, .reference_uv = 41.0};
    const std::string before = "// \"threshold\": not this one, nor } this\n" + kHead +
                               ",\n  /* keep { me */ \"threshold\": {\"microvolts\": 20} /* and me */,\n  \"mains_hz\": 50 // and me\n}\n";
    const std::string after = replace_threshold(before, half, "p");
    CHECK(after == "// \"threshold\": not this one, nor } this\n" + kHead +
                       ",\n  /* keep { me */ \"threshold\": {\"percent_of_reference\": 50, \"reference_uv\": 41} /* and me */,\n  \"mains_hz\": 50 // and me\n}\n");
    check_only_threshold_differs(before, after, half);
}

TEST_CASE("a threshold at the end and a plan without one") {
    const Threshold fixed{.microvolts = 20.5, .percent_of_reference = {}, .reference_uv = {}};
    for (const std::string tail : {"}", " // last words\n}\n", ", \"threshold\": {\"percent_of_reference\": 30}}", ",\n \"threshold\":{\"percent_of_reference\": 30}\n}"}) {
        const std::string before = kHead + tail;
        CAPTURE(before);
        check_only_threshold_differs(before, replace_threshold(before, fixed, "p"), fixed);
    }
}

TEST_CASE("a name that holds the word is not taken for the key") {
    const std::string before = R"({"schema": "tracehold.plan/1", "name": "threshold", "posture": "a \" } b",
  "steps": [{"do": "hold", "seconds": 5, "rest_seconds": 5}]})";
    const Threshold fixed{.microvolts = 7.0, .percent_of_reference = {}, .reference_uv = {}};
    check_only_threshold_differs(before, replace_threshold(before, fixed, "p"), fixed);
}
