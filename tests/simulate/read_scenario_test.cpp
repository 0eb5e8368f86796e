#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "tracehold/core/error.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

using namespace tracehold;

namespace {

Plan small_plan() {
    Plan plan;
    plan.posture = "lying";
    plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 5, 3}};
    plan.contract_cues = {"squeeze"};
    plan.relax_cues = {"let go"};
    return plan;
}

std::string refusal(std::string_view text) {
    try {
        read_scenarios(text, "week.json", small_plan());
    } catch (const Error& error) {
        return error.what();
    }
    return "";
}

}  // namespace

TEST_CASE("an empty scenario is the default one") {
    const Scenario scenario = read_scenario("{}", "s.json", small_plan());
    CHECK(scenario.seed == 1);
    CHECK(scenario.rate_hz == 2000);
    CHECK(scenario.plan.posture == "lying");
    CHECK_FALSE(scenario.accessory.has_value());
}

TEST_CASE("every key of a scenario file arrives") {
    const Scenario s = read_scenario(R"({
        "schema": "tracehold.scenario/1", "file": "mon.csv", "csv": {"delimiter": ";", "decimal": ",", "unit": "mV", "decimals": 6},
        "name": "Monday", "person": "P-014", "start": "2026-03-02T07:30", "seed": 9, "rate_hz": 1000, "lead_in_s": 12,
        "sensor_floor_uv": 0.5, "crosstalk_pct": 8, "missed": [2], "extra_s": [6.5], "pause_after_cycle": 2, "pause_s": 20,
        "marks": false, "envelope_rate_hz": 20,
        "muscle": {"rest_uv": 3, "rest_wander_pct": 10, "work_uv": 15, "work_spread_pct": 6, "rise_s": 0.5, "fall_s": 0.6,
                   "ramp_spread_pct": 7, "shape": "cosine", "reaction_s": 0.2, "reaction_spread_s": 0.05, "release_s": 0.4,
                   "release_spread_s": 0.06, "fade_pct_per_s": 1, "fade_pct_per_cycle": 2, "spectrum_low_hz": 50,
                   "spectrum_high_hz": 110, "compression_pct_per_s": 0.5, "compression_pct_per_cycle": 1},
        "accessory": {"work_uv": 5},
        "faults": [{"kind": "heart_beats", "strength_uv": 30, "hz": 1.2}, {"kind": "gap", "from_s": 20, "length_s": 2}]
    })",
                                     "s.json", small_plan());
    CHECK(s.style == FileStyle{"mon.csv", ';', ',', "mV", 6});
    CHECK(s.name == "Monday");
    CHECK(s.start == parse_civil_time("2026-03-02T07:30"));
    CHECK(s.seed == 9);
    CHECK(s.lead_in_s == 12);
    CHECK(s.missed == std::vector<int>{2});
    CHECK(s.extra_s == std::vector<double>{6.5});
    CHECK(s.pause_after_cycle == 2);
    CHECK_FALSE(s.marks);
    CHECK(s.envelope_rate == Hertz{20});
    CHECK(s.muscle.shape == RampShape::cosine);
    CHECK(s.muscle.fall_s == 0.6);
    CHECK(s.muscle.compression_pct_per_cycle == 1);
    REQUIRE(s.accessory.has_value());
    CHECK(s.accessory->work_uv == 5);
    CHECK(s.accessory->rest_uv == 2);
    REQUIRE(s.faults.size() == 2);
    CHECK(s.faults[1].kind == FaultKind::gap);
    CHECK(s.faults[0].hz == 1.2);
}

TEST_CASE("sessions are merged over their base and a null takes a member away") {
    const auto week = read_scenarios(R"({"schema": "tracehold.scenario/1",
        "base": {"person": "P-014", "rate_hz": 1000, "muscle": {"rest_uv": 3, "work_uv": 15}, "accessory": {}},
        "sessions": [{"file": "a.csv", "seed": 1}, {"file": "b.edf", "seed": 2, "muscle": {"work_uv": 18}, "accessory": null}]})",
                                     "week.json", small_plan());
    REQUIRE(week.size() == 2);
    CHECK(week[0].name == "a.csv");
    CHECK(week[0].muscle.work_uv == 15);
    CHECK(week[0].accessory.has_value());
    CHECK(week[1].person == "P-014");
    CHECK(week[1].muscle.rest_uv == 3);
    CHECK(week[1].muscle.work_uv == 18);
    CHECK_FALSE(week[1].accessory.has_value());
}

TEST_CASE("mistakes in a scenario file are refused with their place") {
    CHECK(refusal(R"({"reate_hz": 1000})").find("week.json:/reate_hz: ") == 0);
    CHECK(refusal(R"({"reate_hz": 1000})").find("did you mean 'rate_hz'?") != std::string::npos);
    CHECK(refusal(R"({"schema": "tracehold.scenario/1", "base": {"rate_hz": 5}, "sessions": [{}]})") ==
          "week.json:/sessions/0/rate_hz: out of range: saw 5, expected 100 to 50000");
    CHECK(refusal(R"({"faults": [{"strength_uv": 3}]})").find("week.json:/faults/0/kind: 'kind' is missing") == 0);
    CHECK(refusal(R"({"faults": [{"kind": "humm"}]})").find("week.json:/faults/0/kind: ") == 0);
    CHECK(refusal(R"({"start": "2026-02-30"})").find("'start' is no date and time: saw '2026-02-30'") !=
          std::string::npos);
    CHECK(refusal(R"({"csv": {"decimal": ","}})").find("is the delimiter too") != std::string::npos);
    CHECK(refusal(R"({"schema": "tracehold.scenario/1", "sessions": []})").find("'sessions' is empty") !=
          std::string::npos);
    CHECK(refusal(R"({"missed": [1.5]})").find("not whole") != std::string::npos);
    CHECK(refusal(R"({"missed": [1e300]})").find("not whole") != std::string::npos);
    CHECK(refusal("{").find("week.json:") == 0);
}

TEST_CASE("the name of a file leads nowhere else and hides nothing") {
    const auto named = [](const std::string& name) { return refusal(nlohmann::json{{"file", name}}.dump()); };
    CHECK(named("P-014_2026-03-02.csv").empty());
    CHECK(named("../../x.csv") ==
          "week.json:/file: 'file' is no plain name of a file: saw '../../x.csv', expected letters, digits, '-', '_' and "
          "'.', first a letter or digit");
    for (const std::string name : {"/etc/x", "a/../../b", "..", ".", "", ".hidden", "-rf", "a\nb.csv", "a b.csv", "a\\b", "caf\u00e9.csv"}) {
        CAPTURE(name);
        CHECK(named(name).find("is no plain name of a file") != std::string::npos);
    }
    CHECK(named(std::string(101, 'x')).find("is no plain name") != std::string::npos);
    for (const std::string name : {"a.csv", "a.CSV", "b.edf", "B.EDF", "a.b.csv"}) CHECK(named(name).empty());
    for (const std::string name : {"a.bdf", "b.rec", "d", "csv", "a.Edf", "a.csv.gz", "a.edf.txt"}) {
        CAPTURE(name);
        CHECK(named(name) == "week.json:/file: 'file' does not say how it is written: saw '" + name + "', expected a name that ends in .csv or .edf");
    }
}

TEST_CASE("a file of two scenarios is not one scenario") {
    constexpr auto kTwo = R"({"schema": "tracehold.scenario/1", "sessions": [{}, {}]})";
    CHECK_THROWS_WITH_AS(read_scenario(kTwo, "week.json", small_plan()),
                         "week.json:/sessions: more than one scenario: saw 2, expected 1", Error);
}

TEST_CASE("cue marks carry the texts of the plan") {
    const Simulated simulated = simulate_recording(read_scenario(R"({"rate_hz": 1000})", "s.json", small_plan()));
    CHECK(simulated.recording.marks.at(0).text == "squeeze");
    CHECK(simulated.recording.marks.at(1).text == "let go");
}

TEST_CASE("the truth as JSON holds what the simulator knows") {
    const Simulated simulated = simulate_recording(read_scenario(
        R"({"rate_hz": 1000, "missed": [2], "faults": [{"kind": "hum", "strength_uv": 3}]})", "s.json", small_plan()));
    const auto json = nlohmann::json::parse(truth_json(simulated.truth));
    CHECK(json["schema"] == "tracehold.truth/1");
    REQUIRE(json["contractions"].size() == 3);
    CHECK(json["contractions"][0]["onset_s"] == simulated.truth.contractions[0].onset_s);
    CHECK(json["contractions"][1]["performed"] == false);
    CHECK(json["contractions"][1]["onset_s"].is_null());
    CHECK(json["faults"][0]["hz"] == 50.0);
    CHECK(json["faults"][0]["span_s"][1] == 40.0);
    CHECK(json["profile"]["amplitude_uv"].size() == 4000);
}
