#include "tracehold/plan/read_plan.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "tracehold/core/error.hpp"

using namespace tracehold;

namespace {

const std::string kWhole = R"({
  // every key there is
  "schema": "tracehold.plan/1", "name": "course A", "posture": "lying",
  "steps": [{"do": "rest", "seconds": 20},
            {"do": "hold", "seconds": 8, "rest_seconds": 10, "times": 5},
            {"do": "rapid", "seconds": 1, "rest_seconds": 4},
            {"do": "endurance", "seconds": 30, "rest_seconds": 30}],
  "threshold": {"percent_of_reference": 50, "reference_uv": 41},
  "targets": {"rest_mean_uv": {"below": 4}, "hold_mean_uv": {"above": 12.5}},
  "channel": "EMG PFM", "accessory_channels": ["EMG Abd"], "mains_hz": 50,
  "cues": {"contract": ["Zu"], "relax": ["Auf", "Los"]},
  "dose": {"sessions_per_day": 2, "days_per_week": 6, "weeks": 12}})";

// A plan of one hold with one part written as given.
std::string plan_with(const std::string& part) {
    std::string text = R"({"schema": "tracehold.plan/1", "posture": "lying", )";
    if (part.find("\"steps\"") == std::string::npos) {
        text += R"("steps": [{"do": "rest", "seconds": 10}, {"do": "hold", "seconds": 5, "rest_seconds": 10}], )";
    }
    return text + part + "}";
}

std::string refusal(const std::string& text) {
    try {
        read_plan(text, "p.json");
    } catch (const Error& error) {
        return std::string(to_string(error.kind)) + " " + error.what();
    }
    return "accepted";
}

std::vector<std::string> codes(const std::string& text) {
    std::vector<std::string> out;
    for (const Note& note : check_plan(read_plan(text, "p.json"))) out.push_back(note.code);
    return out;
}

bool has_code(const std::string& text, const std::string& code) {
    const auto found = codes(text);
    return std::find(found.begin(), found.end(), code) != found.end();
}

}  // namespace

TEST_CASE("every key of a plan arrives where it belongs") {
    const Plan plan = read_plan(kWhole, "p.json");
    CHECK(plan.source == "p.json");
    CHECK(plan.sha256.size() == 64);
    CHECK(plan.name == "course A");
    CHECK(plan.posture == "lying");
    REQUIRE(plan.steps.size() == 4);
    CHECK(plan.steps[0] == Step{StepKind::rest, 20, 0, 1});
    CHECK(plan.steps[1] == Step{StepKind::hold, 8, 10, 5});
    CHECK(plan.steps[2] == Step{StepKind::rapid, 1, 4, 1});
    CHECK(plan.steps[3] == Step{StepKind::endurance, 30, 30, 1});
    CHECK(plan.threshold == Threshold{std::nullopt, 50.0, 41.0});
    REQUIRE(plan.targets.size() == 2);
    CHECK(plan.targets[0] == Target{"rest_mean_uv", 4.0, std::nullopt});
    CHECK(plan.targets[1] == Target{"hold_mean_uv", std::nullopt, 12.5});
    CHECK(plan.channel == "EMG PFM");
    CHECK(plan.accessory_channels == std::vector<std::string>{"EMG Abd"});
    CHECK(plan.mains_hz == 50.0);
    CHECK(plan.contract_cues == std::vector<std::string>{"Zu"});
    CHECK(plan.relax_cues == std::vector<std::string>{"Auf", "Los"});
    CHECK(plan.dose == Dose{2.0, 6.0, 12.0});
    CHECK(check_plan(plan).empty());
}

TEST_CASE("what a plan leaves out stays unsaid and cues have defaults") {
    const Plan plan = read_plan(plan_with(R"("name": "short")"), "p.json");
    CHECK(!plan.threshold);
    CHECK(plan.targets.empty());
    CHECK(plan.channel.empty());
    CHECK(!plan.mains_hz);
    CHECK(plan.dose == Dose{});
    const auto has = [](const std::vector<std::string>& list, const char* word) {
        return std::find(list.begin(), list.end(), word) != list.end();
    };
    CHECK(has(plan.contract_cues, "contract"));
    CHECK(has(plan.contract_cues, "work"));
    CHECK(has(plan.contract_cues, "1"));
    CHECK(has(plan.relax_cues, "relax"));
    CHECK(has(plan.relax_cues, "rest"));
    CHECK(has(plan.relax_cues, "0"));
    for (const std::string& cue : plan.relax_cues) CHECK(!has(plan.contract_cues, cue.c_str()));
}

TEST_CASE("an unknown key is refused with the nearest known one") {
    CHECK(refusal(plan_with(R"("postur": "x")"))
              .find("bad_setting p.json:/postur: a key that is not known: saw 'postur'") == 0);
    CHECK(refusal(plan_with(R"("treshold": {"microvolts": 20})")).find("did you mean 'threshold'?") !=
          std::string::npos);
    CHECK(refusal(plan_with(R"("dose": {"week": 12})")).find("p.json:/dose/week: a key") != std::string::npos);
    CHECK(refusal(plan_with(R"("dose": {"week": 12})")).find("did you mean 'weeks'?") != std::string::npos);
    CHECK(refusal(plan_with(R"("steps": [{"do": "hold", "seconds": 5, "rest_seconds": 5, "time": 5}])"))
              .find("p.json:/steps/0/time: a key that is not known: saw 'time', expected one of do, seconds, "
                    "rest_seconds, times; "
                    "did you mean 'times'?") != std::string::npos);
    CHECK(refusal(plan_with(R"("steps": [{"do": "rest", "seconds": 5, "times": 5}])")).find("/steps/0/times: a key") !=
          std::string::npos);
}

TEST_CASE("each broken rule of a plan is refused at its place") {
    CHECK(refusal(R"({"posture": "lying"})") ==
          "bad_setting p.json:/schema: 'schema' is missing");
    CHECK(refusal(R"({"schema": "tracehold.plan/2"})") ==
          "bad_setting p.json:/schema: 'schema' is not a plan read here: saw 'tracehold.plan/2', expected "
          "'tracehold.plan/1'");
    CHECK(refusal(R"({"schema": "tracehold.plan/1", "steps": []})") ==
          "bad_setting p.json:/posture: 'posture' is missing");
    CHECK(refusal(R"({"schema": "tracehold.plan/1", "posture": "  ", "steps": []})")
              .find("/posture: 'posture' is empty") != std::string::npos);
    CHECK(refusal(plan_with(R"("steps": [])")).find("/steps: 'steps' have no contraction") != std::string::npos);
    CHECK(refusal(plan_with(R"("steps": [{"do": "hold", "seconds": 5, "rest_seconds": 5}], "cues": {"relax": ["r", " "]})"))
              .find("/cues/relax: 'relax' has a cue without a text: saw ' '") != std::string::npos);
    CHECK(refusal(plan_with(R"("steps": [{"do": "rest", "seconds": 5}])")).find("'steps' have no contraction") !=
          std::string::npos);
    CHECK(refusal(plan_with(R"("steps": [{"do": "hodl", "seconds": 5}])")).find("did you mean 'hold'?") !=
          std::string::npos);
    CHECK(refusal(plan_with(R"("steps": [{"do": "hold", "seconds": 0, "rest_seconds": 5}])")) ==
          "bad_setting p.json:/steps/0/seconds: 'seconds' is not usable: saw 0, expected a number from 0.1 to 3600");
    CHECK(refusal(plan_with(R"("steps": [{"do": "hold", "seconds": "8", "rest_seconds": 5}])"))
              .find("saw '8', expected a number") != std::string::npos);
    CHECK(refusal(plan_with(R"("steps": [{"do": "hold", "seconds": 5}])")).find("'rest_seconds' is missing") !=
          std::string::npos);
    CHECK(refusal(plan_with(R"("steps": [{"do": "hold", "seconds": 5, "rest_seconds": 5, "times": 2.5}])"))
              .find("saw 2.5, expected a whole number from 1 to 1000") != std::string::npos);
    CHECK(refusal(plan_with(R"("steps": [{"do": "hold", "seconds": 60, "rest_seconds": 60, "times": 1000}])")) ==
          "bad_setting p.json:/steps: 'steps' are too long: saw 120000 s in all, expected at most 21600 s");
    CHECK(refusal(plan_with(R"("threshold": {})")).find("/threshold: a threshold that is not clear: saw neither") !=
          std::string::npos);
    CHECK(refusal(plan_with(R"("threshold": {"microvolts": 20, "percent_of_reference": 50})")).find("saw both") !=
          std::string::npos);
    CHECK(refusal(plan_with(R"("threshold": {"microvolts": 20, "reference_uv": 41})"))
              .find("'reference_uv' has no use here") != std::string::npos);
    CHECK(refusal(plan_with(R"("targets": {"rest_mean_uv": {}})"))
              .find("/targets/rest_mean_uv: a target that is not clear") != std::string::npos);
    CHECK(refusal(plan_with(R"("targets": {"rest_mean_uv": 4})")).find("saw 4, expected {...}") != std::string::npos);
    CHECK(refusal(plan_with(R"("mains_hz": 55)")).find("saw 55, expected 50 or 60") != std::string::npos);
    CHECK(refusal(plan_with(R"("cues": {"contract": []})")).find("/cues/contract: 'contract' is empty") !=
          std::string::npos);
    CHECK(refusal(plan_with(R"("cues": {"contract": ["Rest"]})")).find("'relax' means two things: saw 'rest'") !=
          std::string::npos);
    CHECK(refusal(plan_with(R"("dose": {"days_per_week": 8})")).find("saw 8, expected a number from 0 to 7") !=
          std::string::npos);
    CHECK(refusal("[]") == "bad_setting p.json: not an object: saw a list, expected {...}");
    CHECK(refusal("").find("malformed p.json:1:1: not JSON") == 0);
    CHECK(refusal(plan_with(R"("name": "a", "name": "b")")).find("malformed p.json:/name: the same key twice") == 0);
}

TEST_CASE("a plan that makes no sense is read and spoken of") {
    const auto steps = [](const std::string& list) { return plan_with("\"steps\": [" + list + "]"); };
    const std::string rest = R"({"do": "rest", "seconds": 10}, )";
    CHECK(codes(steps(rest + R"({"do": "hold", "seconds": 10, "rest_seconds": 10})")).empty());
    CHECK(has_code(steps(rest + R"({"do": "hold", "seconds": 10, "rest_seconds": 9.9})"), "rest_shorter_than_hold"));
    CHECK(codes(steps(rest + R"({"do": "hold", "seconds": 10, "rest_seconds": 5}, {"do": "rest", "seconds": 5})"))
              .empty());
    CHECK(has_code(steps(rest + R"({"do": "rapid", "seconds": 1, "rest_seconds": 1})"), "rest_too_short_to_measure"));
    CHECK(has_code(steps(rest + R"({"do": "rapid", "seconds": 5, "rest_seconds": 5})"), "rapid_is_long"));
    CHECK(has_code(steps(rest + R"({"do": "endurance", "seconds": 5, "rest_seconds": 5})"), "endurance_is_short"));
    CHECK(has_code(steps(R"({"do": "hold", "seconds": 5, "rest_seconds": 5})"), "no_rest_at_start"));
    CHECK(
        has_code(steps(rest + R"({"do": "hold", "seconds": 60, "rest_seconds": 60, "times": 40})"), "session_is_long"));
    CHECK_FALSE(read_plan(plan_with(R"("dose": {"weeks": 12})"), "p").dose.count_all_weeks);
    CHECK(read_plan(plan_with(R"("dose": {"weeks": 12, "count_all_weeks": true})"), "p").dose.count_all_weeks);
    CHECK_THROWS_WITH_AS(read_plan(plan_with(R"("dose": {"count_all_weeks": true})"), "p"),
                         doctest::Contains("/dose/count_all_weeks: 'count_all_weeks' needs the number of weeks"), Error);
    CHECK(has_code(plan_with(R"("dose": {"sessions_per_day": 0, "days_per_week": 6, "weeks": 12})"), "zero_dose"));
    CHECK(has_code(plan_with(R"("dose": {"weeks": 12})"), "dose_incomplete"));
    CHECK(has_code(plan_with(R"("dose": {"sessions_per_day": 1, "days_per_week": 6, "weeks": 120})"), "dose_is_long"));
    CHECK(has_code(plan_with(R"("threshold": {"percent_of_reference": 50})"), "threshold_without_reference"));
    CHECK(has_code(plan_with(R"("threshold": {"percent_of_reference": 101, "reference_uv": 40})"), "threshold_above_reference"));
    CHECK_FALSE(has_code(plan_with(R"("threshold": {"percent_of_reference": 100, "reference_uv": 1000})"), "threshold_above_reference"));
    CHECK_FALSE(has_code(plan_with(R"("threshold": {"percent_of_reference": 100, "reference_uv": 1000})"), "amplitude_is_large"));
    CHECK(has_code(plan_with(R"("threshold": {"percent_of_reference": 50, "reference_uv": 1001})"), "amplitude_is_large"));
    CHECK(has_code(plan_with(R"("threshold": {"microvolts": 1001})"), "amplitude_is_large"));
    CHECK(has_code(plan_with(R"("targets": {"release_s": {"below": 0.09}})"), "target_too_fine"));
    CHECK_FALSE(has_code(plan_with(R"("targets": {"release_s": {"below": 0.1}})"), "target_too_fine"));
    CHECK(has_code(plan_with(R"("targets": {"rest_mean_uv": {"above": 4}})"), "rest_target_above"));
    CHECK_FALSE(has_code(plan_with(R"("targets": {"rest_mean_uv": {"below": 4}})"), "rest_target_above"));
    CHECK(has_code(plan_with(R"("targets": {"rest_mean_uv": {"below": 0}})"), "target_without_meaning"));
    CHECK(has_code(plan_with(R"("channel": "A", "accessory_channels": ["A"])"), "channel_twice"));
    const std::string much =
        R"("steps": [{"do": "rest", "seconds": 10}, {"do": "hold", "seconds": 60, "rest_seconds": 60, "times": 10}],)";
    CHECK(has_code(plan_with(much + R"("dose": {"sessions_per_day": 7, "days_per_week": 1, "weeks": 1})"),
                   "much_work_a_day"));
}

TEST_CASE("a dose, a target, a posture or a threshold that is likelier a slip is spoken of and not refused") {
    const auto dose = [](const std::string& text) { return plan_with("\"dose\": {" + text + "}"); };
    CHECK(has_code(dose(R"("sessions_per_day": 7, "days_per_week": 7, "weeks": 6)"), "many_sessions_a_day"));
    CHECK_FALSE(has_code(dose(R"("sessions_per_day": 6, "days_per_week": 7, "weeks": 6)"), "many_sessions_a_day"));
    CHECK(has_code(dose(R"("sessions_per_day": 0.1, "days_per_week": 7, "weeks": 6)"), "dose_in_parts"));
    CHECK(has_code(dose(R"("sessions_per_day": 1, "days_per_week": 3.5, "weeks": 6)"), "dose_in_parts"));
    CHECK_FALSE(has_code(dose(R"("sessions_per_day": 1, "days_per_week": 3, "weeks": 6)"), "dose_in_parts"));
    CHECK(has_code(dose(R"("sessions_per_day": 1, "days_per_week": 3, "weeks": 0.5)"), "dose_is_short"));
    CHECK_FALSE(has_code(dose(R"("sessions_per_day": 1, "days_per_week": 3, "weeks": 1)"), "dose_is_short"));
    CHECK(has_code(plan_with(R"("purpose": "assessment", "dose": {"sessions_per_day": 1, "days_per_week": 3, "weeks": 6})"), "dose_of_assessment"));
    CHECK_FALSE(has_code(plan_with(R"("purpose": "training", "dose": {"sessions_per_day": 1, "days_per_week": 3, "weeks": 6})"), "dose_of_assessment"));
    const auto posture = [](const std::string& word) {
        std::string text = plan_with(R"("name": "a")");
        return text.replace(text.find("lying"), 5, word);
    };
    CHECK(has_code(posture("lieing"), "posture_unknown"));
    CHECK_FALSE(has_code(posture("Side lying"), "posture_unknown"));
    const std::string hold = R"("steps": [{"do": "rest", "seconds": 10}, {"do": "hold", "seconds": 6, "rest_seconds": 9}], "targets": )";
    CHECK(has_code(plan_with(hold + R"({"time_to_hold_s": {"below": 20}})"), "target_outside_step"));
    CHECK_FALSE(has_code(plan_with(hold + R"({"time_to_hold_s": {"below": 1.5}})"), "target_outside_step"));
    CHECK(has_code(plan_with(hold + R"({"release_s": {"below": 9}})"), "target_outside_step"));
    CHECK_FALSE(has_code(plan_with(hold + R"({"release_s": {"below": 8}})"), "target_outside_step"));
    const std::string rapid = R"("steps": [{"do": "rest", "seconds": 10}, {"do": "rapid", "seconds": 2.5, "rest_seconds": )";
    CHECK(has_code(plan_with(rapid + "2.4}]"), "rest_shorter_than_contraction"));
    CHECK_FALSE(has_code(plan_with(rapid + "2.5}]"), "rest_shorter_than_contraction"));
    CHECK(has_code(plan_with(R"("threshold": {"microvolts": 0.9})"), "amplitude_is_small"));
    CHECK_FALSE(has_code(plan_with(R"("threshold": {"microvolts": 1})"), "amplitude_is_small"));
}

TEST_CASE("no plan text makes the reader crash") {
    for (std::size_t length = 0; length <= kWhole.size(); ++length) {
        const std::string cut = kWhole.substr(0, length);
        CHECK_MESSAGE(((refusal(cut) != "accepted") == (length < kWhole.size())), length);
    }
    for (std::size_t i = 0; i < kWhole.size(); ++i) {
        for (const char c : {'\0', '"', '}', '9', '\xFF'}) {
            std::string changed = kWhole;
            changed[i] = c;
            refusal(changed);  // any Error is an answer; anything else ends the test
        }
    }
}

TEST_CASE("a plan says what it is for or its steps and dose do") {
    const std::string all_kinds = R"("steps": [{"do": "rapid", "seconds": 1, "rest_seconds": 4},
        {"do": "hold", "seconds": 8, "rest_seconds": 10}, {"do": "endurance", "seconds": 30, "rest_seconds": 30}])";
    const auto purpose = [](const std::string& part) { return to_string(purpose_of(read_plan(plan_with(part), "p"))); };
    CHECK(purpose(R"("purpose": "assessment")") == "assessment");
    CHECK(purpose(R"("name": "one hold")") == "training");
    CHECK(purpose(all_kinds) == "assessment");
    CHECK(purpose(all_kinds + R"(, "dose": {"sessions_per_day": 1})") == "training");
    CHECK(purpose(all_kinds + R"(, "purpose": "training")") == "training");
    CHECK(refusal(plan_with(R"("purpose": "tranning")")).find("training") != std::string::npos);
    CHECK(refusal(plan_with(R"("purpose": "tranning")")).find("/purpose") != std::string::npos);
}
