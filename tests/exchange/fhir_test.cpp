// FHIR output: shape and identity. Validators of other people look at it in check_fhir.mjs.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <set>

#include "exchange/fhir_parts.hpp"
#include "exchange/json_parts.hpp"
#include "support/made_up_session.hpp"
#include "tracehold/exchange/write_fhir.hpp"
#include "tracehold/identity/hide.hpp"
#include "tracehold/measures/measure_list.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

Json bundle_of(const SessionScore& score, FhirForm form = FhirForm::collection) {
    FhirSettings settings = kSettings;
    settings.form = form;
    return Json::parse(fhir_opening(settings) + fhir_session(score, settings) + fhir_closing(settings));
}

Json resource(const Json& bundle, std::string_view type) {
    for (const Json& entry : bundle["entry"]) {
        if (entry["resource"]["resourceType"] == type) return entry["resource"];
    }
    return nullptr;
}

}  // namespace

TEST_CASE("a session is an observation a report and its provenance beside the program") {
    const Json bundle = bundle_of(test::made_up_session());
    std::vector<std::string> types;
    std::set<std::string> names;
    for (const Json& entry : bundle["entry"]) {
        types.push_back(entry["resource"]["resourceType"]);
        names.insert(entry["fullUrl"].get<std::string>());
    }
    CHECK(types == std::vector<std::string>{"Device", "Observation", "DiagnosticReport", "Provenance"});
    CHECK(names.size() == 4);
    CHECK(resource(bundle, "Observation")["status"] == "preliminary");
    CHECK(resource(bundle, "DiagnosticReport")["status"] == "preliminary");
    CHECK(resource(bundle, "DiagnosticReport")["result"][0]["reference"] == bundle["entry"][1]["fullUrl"]);
    CHECK(resource(bundle, "Provenance")["recorded"] == "2026-03-03T01:06:40Z");  // 1772500000 s, by 'date -u'
}

TEST_CASE("every number of the session is a component with its value or the reason for none") {
    const SessionScore score = test::made_up_session();
    const Json observation = resource(bundle_of(score), "Observation");
    for (std::size_t i = 0; i < measure_list().size(); ++i) {
        const Measure& measure = measure_list()[i];
        const Json found = component(observation, measure.key);
        INFO(measure.key);
        REQUIRE(found.is_object());
        if (score.measures[i].mean) {
            CHECK(found["valueQuantity"]["value"] == *score.measures[i].mean);
            CHECK(found["valueQuantity"]["code"] == measure.ucum);
            CHECK_FALSE(found.contains("dataAbsentReason"));
        } else {
            CHECK_FALSE(found["dataAbsentReason"]["text"].get<std::string>().empty());
        }
    }
}

TEST_CASE("a rejected signal has an error for every measure and for itself") {
    SessionScore score = test::made_up_empty_session();
    score.quality.usable = false;
    const Json observation = resource(bundle_of(score), "Observation");
    CHECK(observation["dataAbsentReason"]["coding"][0]["code"] == "error");
    for (std::size_t i = 0; i < score.measures.size(); ++i) {
        const Json found = component(observation, measure_list()[i].key);
        CHECK(found["dataAbsentReason"]["coding"][0]["code"] == "error");
    }
}

TEST_CASE("where nothing shows that the electrode saw the muscle no contraction is said to be not performed") {
    SessionScore score = test::made_up_empty_session();
    score.quality = {};
    score.done = 0;
    const auto reason = [&] {
        return component(resource(bundle_of(score), "Observation"), measure_list()[0].key)["dataAbsentReason"]["coding"][0]["code"];
    };
    CHECK(reason() == "not-performed");
    score.quality.findings.push_back({"muscle_not_seen", Severity::caution, "nothing shows", {}});
    CHECK(reason() == "unknown");
    CHECK(component(resource(bundle_of(score), "Observation"), "muscle_seen")["valueBoolean"] == false);
    CHECK(component(resource(bundle_of(score), "Observation"), "signal_usable")["valueBoolean"] == true);
    CHECK(resource(bundle_of(score), "DiagnosticReport")["conclusion"].get<std::string>().ends_with(
        "But nothing shows that the electrode saw the muscle: whether a contraction was missed cannot be told."));
}

TEST_CASE("the conclusion says what was done as the page does, and what keeps that from being told") {
    SessionScore score = test::made_up_session();
    score.quality.findings.clear();
    const auto concludes = [&](std::string_view what) {
        return resource(bundle_of(score), "DiagnosticReport")["conclusion"].get<std::string>().find(what) != std::string::npos;
    };
    const auto counted = [&](const char* key) {
        return component(resource(bundle_of(score), "Observation"), key)["valueInteger"].get<std::size_t>();
    };
    CHECK(concludes("9 of 10 planned contractions done: hold 5 of 5, rapid 4 of 5. 1 missed."));
    CHECK_FALSE(concludes("cannot be told"));
    for (const char* code : {"low_contrast", "cues_out_of_step"}) {
        score.quality.findings = {{code, Severity::caution, "in doubt", {}}};
        CHECK(concludes("1 missed at their cues: whether they were done cannot be told."));
    }
    CHECK(concludes("All counts are at their cues, which may be out of step with the trace."));
    score.quality.findings = {{"marks_beyond_plan", Severity::caution, "others", {}}};
    CHECK(concludes("The marks in the recording are not those of the plan given, so that what of it was done, and what is extra, cannot be told."));
    score.quality.findings.clear();
    score.planned = 14;
    score.corrections = {{.action = CorrectionAction::drop_cycle, .cycle = 1}};
    CHECK(concludes("9 of 14 planned contractions done"));
    CHECK(concludes("3 not recorded. 1 left out by hand. 1 missed."));
    CHECK(counted("contractions_done") + counted("contractions_missed") + counted("contractions_unusable") +
              counted("contractions_not_recorded") + counted("contractions_left_out") == counted("contractions_planned"));
    CHECK(counted("contractions_left_out") == 1);
}

TEST_CASE("time is a period where the offset is known and else a date with the wall clock beside it") {
    SessionScore score = test::made_up_session();
    score.recording.start = parse_civil_time("2026-03-02T23:59:30");
    score.recording.duration_s = 90.5;
    Json observation = resource(bundle_of(score), "Observation");
    CHECK(observation["effectiveDateTime"] == "2026-03-02");
    CHECK(component(observation, "local_time")["valueTime"] == "23:59:30");
    score.recording.start = parse_civil_time("2026-03-02T23:59:30+01:00");
    observation = resource(bundle_of(score), "Observation");
    CHECK_FALSE(observation.contains("effectiveDateTime"));
    CHECK(observation["effectivePeriod"]["start"] == "2026-03-02T23:59:30+01:00");
    CHECK(observation["effectivePeriod"]["end"] == "2026-03-03T00:01:00.500+01:00");
    score.recording.start.reset();
    observation = resource(bundle_of(score), "Observation");
    CHECK_FALSE(observation.contains("effectivePeriod"));
    CHECK_FALSE(observation.contains("effectiveDateTime"));
}

TEST_CASE("a session keeps its ids when it is scored otherwise and shares them with no other") {
    SessionScore score = test::made_up_session();
    const Json first = bundle_of(score);
    score.measures[0].mean = 99.0;
    const Json again = bundle_of(score);
    CHECK(again["entry"][1]["fullUrl"] == first["entry"][1]["fullUrl"]);
    CHECK(again["entry"][3]["fullUrl"] != first["entry"][3]["fullUrl"]);  // of the new numbers
    score.recording.channel = "another";
    CHECK(bundle_of(score)["entry"][1]["fullUrl"] != first["entry"][1]["fullUrl"]);
}

TEST_CASE("a server that gets a transaction twice has one session") {
    const Json bundle = bundle_of(test::made_up_session(), FhirForm::transaction);
    const auto request = [&](int i) { return bundle["entry"][i]["request"]; };
    CHECK(request(0)["ifNoneExist"].get<std::string>().starts_with("identifier=urn:oid:"));
    CHECK(request(1)["method"] == "PUT");
    CHECK(request(1)["url"].get<std::string>().starts_with("Observation?identifier=urn:oid:"));
    CHECK(request(3)["method"] == "POST");
}

TEST_CASE("hidden identities are labelled and anonymous ones have neither subject nor hash") {
    const SessionScore score = test::made_up_session();
    const Json pseudonym = bundle_of(hide(score, pseudonymous(std::string(32, 'k'))));
    CHECK(resource(pseudonym, "Observation")["meta"]["security"][0]["code"] == "PSEUDED");
    CHECK_FALSE(resource(pseudonym, "Provenance").contains("entity"));  // a hash would tell who holds the file
    const KnownRecording known{score.recording.sha256, score.recording.person, score.recording.start};
    const Json nobody = bundle_of(hide(score, anonymous(std::span(&known, 1))));
    const Json observation = resource(nobody, "Observation");
    CHECK(observation["meta"]["security"][0]["code"] == "ANONYED");
    CHECK_FALSE(observation["subject"].contains("identifier"));
    CHECK_FALSE(observation.contains("effectiveDateTime"));
    CHECK(component(observation, "day_offset")["valueInteger"] == 0);
    for (const Json& entry : nobody["entry"]) CHECK(entry["resource"]["resourceType"] != "Provenance");
}

TEST_CASE("names of information are those of the standard") {
    // RFC 6920, section 8.1: the SHA-256 of "Hello World!".
    CHECK(fhir::named_information("7f83b1657ff1fc53b92dc18148a1d65dfc2d4b1fa3d677284addd200126d9069") ==
          "ni:///sha-256;f4OxZX_x_FO5LcGBSKHWXfwtSx-j1ncoSt3SABJtkGk");
    const std::string id = fhir::uuid_of("Observation", "one");
    CHECK(id.size() == 36);
    CHECK(id[14] == '8');
    CHECK(std::string_view("89ab").find(id[19]) != std::string_view::npos);
    CHECK(id == fhir::uuid_of("Observation", "one"));
    CHECK(id != fhir::uuid_of("Device", "one"));
}

TEST_CASE("the code system defines every code once") {
    const Json system = Json::parse(fhir_code_system_json());
    std::set<std::string> codes;
    for (const Json& each : system["concept"]) {
        CHECK(codes.insert(each["code"].get<std::string>()).second);
        CHECK(each["definition"].get<std::string>().size() > 20);
    }
    CHECK(system["count"] == codes.size());
    const Json observation = resource(bundle_of(test::made_up_session()), "Observation");
    for (const Json& each : observation["component"])
        CHECK(codes.count(each["code"]["coding"][0]["code"].get<std::string>()) == 1);
}
