#include <doctest/doctest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "course/made_course.hpp"
#include "exchange/json_parts.hpp"
#include "support/golden.hpp"
#include "support/hostile_texts.hpp"
#include "support/made_up_course.hpp"
#include "support/made_up_session.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/write_course.hpp"
#include "tracehold/exchange/write_fhir.hpp"
#include "tracehold/exchange/write_session.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

Json parsed(const Course& course) { return Json::parse(course_json(course)); }

}  // namespace

TEST_CASE("golden: the JSON of a course") { CHECK_GOLDEN("course.json", course_json(test::made_up_course())); }

TEST_CASE("golden: the JSON of a course without a dated session") {
    CHECK_GOLDEN("course_empty.json", course_json(test::made_up_empty_course()));
}

TEST_CASE("the promised keys of a course are there") {
    const Json json = parsed(test::made_up_course());
    CHECK_EQ(json["schema"], "tracehold.course/1");
    CHECK_EQ(keys_of(json),
             std::vector<std::string>{"schema", "tool", "person", "first", "last", "found", "used", "rejected", "used_with_caution", "cautions",
                                      "left_out", "adherence", "phases", "tested_measures", "questions", "notes",
                                      "refused", "waiting", "made_with"});
    CHECK_EQ(json["tool"]["settings"]["identity"], "keep");
    for (const char* key : {"sessions", "adherence", "measures", "posture", "channel", "kind"})
        CHECK(json["phases"][0].contains(key));
    for (const char* key :
         {"n", "baseline", "current", "change_pct", "mdc95_pct", "slope_per_week", "slope_ci95", "p", "statement"})
        CHECK(json["phases"][0]["measures"]["hold_mean_uv"].contains(key));
    for (const char* key : {"code", "text", "evidence"}) CHECK(json["questions"][0].contains(key));
}

TEST_CASE("a course names the files that it was made with by their hashes") {
    const std::string a(64, 'a'), b(64, 'b'), c(64, 'c'), d(64, 'd');
    const MadeWith files{.identity = IdentityLevel::pseudonym, .plans = {a, b}, .corrections = {c}, .sessions = d, .rules = {}, .left_out = {}};
    const Json json = Json::parse(course_json(test::made_up_course(), 0, files));
    CHECK_EQ(json["tool"]["settings"]["identity"], "pseudonym");
    const Json& told = json["made_with"];
    CHECK_EQ(told["plans_sha256"], Json({a, b}));
    CHECK_EQ(told["corrections_sha256"], Json({c}));
    CHECK_EQ(told["sessions_sha256"], d);
    CHECK(told["rules_sha256"].is_null());
    CHECK(told["left_out"].is_null());
}

TEST_CASE("what a charted course says stands in its JSON as the very same doubles") {
    const Course course = chart_course(test::make_course({.days = 56, .rise_pct = 60.0}));
    const Json json = parsed(course);
    REQUIRE_EQ(json["phases"].size(), 1);
    REQUIRE_EQ(json["phases"][0]["measures"].size(), course.phases[0].measures.size());
    REQUIRE_GE(course.phases[0].measures.size(), 4);
    for (const MeasureChange& change : course.phases[0].measures) {
        CAPTURE(change.key);
        const Json& told = json["phases"][0]["measures"][change.key];
        CHECK_EQ(told["n"], change.points.size());
        CHECK_EQ(told["baseline"].get<double>(), change.baseline->value);
        CHECK_EQ(told["current"].get<double>(), change.current->value);
        CHECK_EQ(told["change"].get<double>(), *change.change);
        CHECK_EQ(told["mdc95"].get<double>(), *change.mdc95);
        CHECK_EQ(told["slope_ci95"][1].get<double>(), *change.slope_high);
        CHECK_EQ(told["p_adjusted"].get<double>(), *change.p_adjusted);
        CHECK_EQ(told["statement"], to_string(*change.statement));
        CHECK_EQ(told["blocks"]["current"]["days"], change.current->days);
        CHECK_EQ(told["points"].back()["value"].get<double>(), change.points.back().value);
        CHECK_EQ(told["points"].back()["session"], course.phases[0].sessions.size());
    }
    CHECK_EQ(json["phases"][0]["sessions"].size(), course.used);
    CHECK_EQ(json["adherence"]["weeks"].size(), course.adherence.weeks.size());
}

TEST_CASE("a change in percent of the value before is told apart from a difference of percentages") {
    const Json measures = parsed(test::made_up_course())["phases"][0]["measures"];
    CHECK_EQ(measures["hold_mean_uv"]["relative"], true);
    CHECK_EQ(measures["hold_mean_uv"]["change_pct"], measures["hold_mean_uv"]["change"]);
    CHECK_EQ(measures["fade_pct"]["change_unit"], "%");
    CHECK_EQ(measures["fade_pct"]["relative"], false);
    CHECK(measures["release_s"]["change_pct"].is_null());
    CHECK_EQ(measures["release_s"]["change"], 0.18);
}

TEST_CASE("the sessions of a phase are summed in its adherence") {
    const Json adherence = parsed(test::made_up_course())["phases"][0]["adherence"];
    CHECK_EQ(adherence["sessions"], 3);
    CHECK_EQ(adherence["planned_contractions"], 32);
    CHECK_EQ(adherence["contractions"], 31);
    CHECK_EQ(adherence["counting"], 20);
}

TEST_CASE("what a course does not know is null with its reason and never NaN") {
    Course course = test::made_up_course();
    course.phases[0].measures[0].p = std::numeric_limits<double>::quiet_NaN();
    course.phases[0].measures[0].change_high.reset();
    const Json json = parsed(course);
    const Json& hold = json["phases"][0]["measures"]["hold_mean_uv"];
    CHECK(hold["p"].is_null());
    CHECK(hold["change_ci95"].is_null());
    const Json& fade = json["phases"][0]["measures"]["fade_pct"];
    for (const char* key : {"baseline", "current", "change", "sem", "error_source", "statement", "plateau"})
        CHECK(fade[key].is_null());
    CHECK_EQ(fade["reason"], "1 day with a value, at least 6 are needed");
    CHECK(json["phases"][1]["posture"].is_null());
    const Json empty = parsed(test::made_up_empty_course());
    CHECK(empty["person"].is_null());
    CHECK(empty["first"].is_null());
    CHECK(empty["adherence"]["planned_sessions"].is_null());
    CHECK_EQ(empty["adherence"]["reason"], "no session has a date");
}

TEST_CASE("a hold that moved with its reference asks about the set-up in JSON and FHIR too") {
    Course course = test::made_up_course();
    Phase& phase = course.phases[0];
    CHECK(Json::parse(course_json(course))["phases"][0]["set_up_question"].is_null());
    MeasureChange share = phase.measures[0];
    share.key = "hold_of_reference_pct", share.primary = true, share.statement = Statement::no_change_shown;
    phase.measures.push_back(share);
    const std::string asked = Json::parse(course_json(course))["phases"][0]["set_up_question"];
    CHECK(asked.ends_with("Was the set-up the same throughout?"));
    const std::vector<SessionScore> scores(4, test::made_up_session());
    const Json bundle = Json::parse(fhir_opening(kSettings) + fhir_course(course, scores, kSettings) + fhir_closing(kSettings));
    std::size_t conclusions = 0, notes = 0;
    for (const Json& entry : bundle["entry"]) {
        const Json& resource = entry["resource"];
        if (resource.contains("conclusion")) conclusions += resource["conclusion"].get<std::string>().find(asked) != std::string::npos;
        if (resource.contains("note")) notes += resource["note"].dump().find(asked) != std::string::npos;
    }
    CHECK(conclusions == 1);
    CHECK(notes == 1);
}

TEST_CASE("a course is one line where one line is asked for") {
    const std::string line = course_json(test::made_up_course(), 0);
    CHECK_EQ(line.find('\n'), line.size() - 1);
    CHECK_EQ(Json::parse(line), parsed(test::made_up_course()));
}

TEST_CASE("hostile texts of a course keep the JSON whole and no terminal sees them raw") {
    for (const std::string& hostile : test::hostile_texts()) {
        CAPTURE(shown(hostile, 40));
        const std::string text = course_json(test::with_all_texts(test::made_up_course(), hostile), 0);
        CHECK_EQ(shown(text, text.size()), text.substr(0, text.size() - 1) + "\\x0A");
        CHECK_EQ(keys_of(Json::parse(text)), keys_of(parsed(test::made_up_course())));
    }
}
