// A course as FHIR: shape, reasons and identity. Validators of other people look at it in check_fhir.mjs.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <nlohmann/json.hpp>
#include <set>
#include <vector>

#include "exchange/json_parts.hpp"
#include "support/made_up_course.hpp"
#include "support/made_up_session.hpp"
#include "tracehold/exchange/write_fhir.hpp"
#include "tracehold/identity/hide.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::vector<SessionScore> scores_of(const Course& course, IdentityLevel level = IdentityLevel::keep) {
    std::size_t last = 0;
    for (const Phase& phase : course.phases) {
        for (const CourseSession& session : phase.sessions) last = std::max(last, session.score);
    }
    std::vector<SessionScore> scores(last + 1, test::made_up_session());
    for (std::size_t i = 0; i < scores.size(); ++i) {
        scores[i].recording.channel = fmt::format("channel {}", i);  // sessions of their own
        scores[i].settings.identity = level;
    }
    return scores;
}

Json bundle_of(const Course& course, const std::vector<SessionScore>& scores) {
    return Json::parse(fhir_opening(kSettings) + fhir_course(course, scores, kSettings) + fhir_closing(kSettings));
}

std::vector<Json> resources(const Json& bundle, std::string_view type) {
    std::vector<Json> found;
    for (const Json& entry : bundle["entry"]) {
        if (entry["resource"]["resourceType"] == type) found.push_back(entry["resource"]);
    }
    return found;
}

}  // namespace

TEST_CASE("every measure of every phase is an observation with its statement or the reason for none") {
    const Course course = test::made_up_course();
    const std::vector<Json> observations = resources(bundle_of(course, scores_of(course)), "Observation");
    std::size_t place = 0;
    CHECK(code_of(observations[place++]) == "course_adherence");
    for (const Phase& phase : course.phases) {
        for (const MeasureChange& change : phase.measures) {
            const Json& seen = observations[place++];
            INFO(change.key);
            CHECK(code_of(seen) == change.key + ".course");
            CHECK(seen["status"] == "preliminary");
            const bool stated = change.statement || change.current;
            CHECK(seen.contains("valueCodeableConcept") == stated);
            CHECK(seen.contains("dataAbsentReason") == !stated);
            CHECK(component(seen, "change_tested")["valueBoolean"] == change.p_adjusted.has_value());
            if (change.statement)
                CHECK(seen["valueCodeableConcept"]["coding"][0]["code"] == to_string(*change.statement));
            const Json moved = component(seen, "change");
            CHECK(moved.contains("valueQuantity") == change.change.has_value());
            if (change.change) CHECK(moved["valueQuantity"]["value"] == *change.change);
            if (!change.change) CHECK_FALSE(moved["dataAbsentReason"]["text"].get<std::string>().empty());
            CHECK(seen["derivedFrom"].size() == change.points.size());
        }
    }
    CHECK(place == observations.size());
}

TEST_CASE("a measure that is described has its figures and no reason for none, and the conclusion names the phase of each statement") {
    Course course = test::made_up_course();
    MeasureChange& described = course.phases[0].measures[2];
    described.baseline = CourseBlock{.value = -11.25}, described.current = CourseBlock{.value = -9.0};
    described.change = 2.25;
    course.phases[1].measures[0].primary = true;
    const Json bundle = bundle_of(course, scores_of(course));
    bool found = false;
    for (const Json& seen : resources(bundle, "Observation")) {
        if (code_of(seen) != "fade_pct.course") continue;
        found = true;
        CHECK(seen["valueCodeableConcept"]["coding"][0]["code"] == "described_only");
        CHECK_FALSE(seen.contains("dataAbsentReason"));
        CHECK(component(seen, "current")["valueQuantity"]["value"] == -9.0);
        CHECK(component(seen, "change_tested")["valueBoolean"] == false);
    }
    CHECK(found);
    const std::string conclusion = resources(bundle, "DiagnosticReport")[0]["conclusion"];
    CHECK(conclusion.starts_with("3 of 18 prescribed sessions (17 %) in 2 weeks"));
    CHECK(conclusion.find("training, lying, EMG PFM: Hold mean rose") != std::string::npos);
    CHECK(conclusion.find("assessment, posture not stated, EMG PFM, rapid 1 s, 5 times: Peak") != std::string::npos);
}

TEST_CASE("a course without a usable session gives reasons and no value") {
    const Course course = test::made_up_empty_course();
    const Json bundle = bundle_of(course, {});
    const std::vector<Json> observations = resources(bundle, "Observation");
    REQUIRE(observations.size() == 1);
    CHECK_FALSE(observations[0].contains("valueQuantity"));
    CHECK_FALSE(observations[0]["dataAbsentReason"]["text"].get<std::string>().empty());
    CHECK_FALSE(observations[0].contains("effectivePeriod"));
    CHECK_FALSE(observations[0].contains("subject"));
    CHECK_FALSE(resources(bundle, "Provenance")[0].contains("entity"));
}

TEST_CASE("the provenance of a course names its plans, corrections, list and rules unless something is hidden") {
    const Course course = test::made_up_course();
    MadeWith files{.identity = IdentityLevel::keep, .plans = {std::string(64, 'a')}, .corrections = {std::string(64, 'b')}, .sessions = std::string(64, 'c'),
                   .rules = std::string(64, 'd'), .left_out = {}};
    const auto told = [&] {
        const std::vector<SessionScore> scores = scores_of(course);
        const Json bundle = Json::parse(fhir_opening(kSettings) + fhir_course(course, scores, kSettings, files) + fhir_closing(kSettings));
        std::vector<std::string> names;
        const Json provenance = resources(bundle, "Provenance")[0];
        for (const Json& entity : provenance["entity"]) names.push_back(entity["what"]["display"]);
        return names;
    };
    CHECK(told() == std::vector<std::string>{"recording", "plan", "corrections", "sessions list", "rules"});
    files.identity = IdentityLevel::pseudonym;
    CHECK(told() == std::vector<std::string>{"recording"});
}

TEST_CASE("adherence is a percentage of a week and more and never above all of it") {
    Course course = test::made_up_course();
    Adherence& adherence = course.adherence;
    CourseWeek week = adherence.weeks.front();
    week.days = {1, 1, 1, 0, 0, 0, 1};
    adherence.weeks = {week};
    adherence.counted = {{week.monday, week.monday + std::chrono::days{6}}};
    adherence.sessions = 4;
    adherence.planned_sessions = 5.0;
    const auto seen = [&] { return resources(bundle_of(course, scores_of(course)), "Observation")[0]; };
    CHECK(seen()["valueQuantity"]["value"] == 80.0);  // 4 of 5, Monday to Sunday
    CHECK(seen()["note"].dump().find("3 of the 5 prescribed sessions in the weeks they were due, 1 more than was due in a week") != std::string::npos);
    adherence.within_dose = 4;
    CHECK(seen()["note"].dump().find("in the weeks they were due") == std::string::npos);
    adherence.weeks[0].days = {1, 1, 1, 0, 0, 1, 0};
    adherence.counted[0].to -= std::chrono::days{1};
    CHECK(seen()["dataAbsentReason"]["text"] == "less than a week");
    adherence.weeks[0].days = {1, 1, 1, 0, 0, 0, 1};
    adherence.counted[0].to += std::chrono::days{1};
    adherence.sessions = 6;
    CHECK(seen()["dataAbsentReason"]["text"] == "more sessions than prescribed");
    adherence.after_plan.sessions = 1;  // five of five
    CHECK(seen()["valueQuantity"]["value"] == 100.0);
    CHECK(seen()["note"].dump().find("1 of the sessions held came outside of the weeks of a plan: neither prescribed nor counted") != std::string::npos);
    adherence.after_plan = {};
    adherence.planned_sessions = 2.0;
    adherence.sessions = 2;
    CHECK(seen()["dataAbsentReason"]["text"] == "too few sessions were prescribed");
    adherence.planned_sessions.reset();
    adherence.reason = "no plan says it";
    CHECK(seen()["dataAbsentReason"]["text"] == "no plan says it");
}

TEST_CASE("a course keeps its ids for the same sessions and has others with one more") {
    const Course course = test::made_up_course();
    std::vector<SessionScore> scores = scores_of(course);
    const auto names = [&](const Course& charted) {
        std::set<std::string> all;
        const Json bundle = bundle_of(charted, scores);
        for (const Json& entry : bundle["entry"]) all.insert(entry["fullUrl"].get<std::string>());
        return all;
    };
    const std::set<std::string> first = names(course);
    Course again = course;
    again.adherence.sessions += 1;
    std::vector<std::string> both;
    const std::set<std::string> second = names(again);
    std::set_intersection(first.begin(), first.end(), second.begin(), second.end(), std::back_inserter(both));
    CHECK(both.size() + 1 == first.size());  // all but the Provenance, which tells of the new figures
    scores.push_back(scores.front());
    scores.back().recording.channel = "one more";
    const std::set<std::string> third = names(course);
    both.clear();
    std::set_intersection(first.begin(), first.end(), third.begin(), third.end(), std::back_inserter(both));
    CHECK(both.size() == 1);  // the program
}

TEST_CASE("a course says hidden only where every session is and dates only where none is anonymous") {
    const Course course = test::made_up_course();
    const auto adherence = [&](std::vector<SessionScore> scores) {
        return resources(bundle_of(course, scores), "Observation")[0];
    };
    std::vector<SessionScore> scores = scores_of(course, IdentityLevel::pseudonym);
    CHECK(adherence(scores)["meta"]["security"][0]["code"] == "PSEUDED");
    scores[0].settings.identity = IdentityLevel::keep;
    CHECK_FALSE(adherence(scores).contains("meta"));
    scores = scores_of(course, IdentityLevel::anonymous);
    CHECK(adherence(scores)["meta"]["security"][0]["code"] == "ANONYED");
    CHECK_FALSE(adherence(scores).contains("effectivePeriod"));
    CHECK_FALSE(adherence(scores)["subject"].contains("identifier"));
}

TEST_CASE("the code system defines every code of a course") {
    const Course course = test::made_up_course();
    std::set<std::string> defined, used;
    const Json system = Json::parse(fhir_code_system_json());
    for (const Json& each : system["concept"]) defined.insert(each["code"].get<std::string>());
    const Json bundle = bundle_of(course, scores_of(course));
    for (const Json& report : resources(bundle, "DiagnosticReport")) used.insert(code_of(report));
    for (const Json& observation : resources(bundle, "Observation")) {
        used.insert(code_of(observation));
        for (const Json& each : observation["component"]) used.insert(code_of(each));
        if (observation.contains("valueCodeableConcept")) {
            used.insert(observation["valueCodeableConcept"]["coding"][0]["code"].get<std::string>());
        }
    }
    CHECK(used.size() > 30);
    for (const std::string& code : used) CHECK_MESSAGE(defined.count(code) == 1, code);
}

TEST_CASE("control and bidi characters in texts of a course reach no record as they are") {
    const Course course = test::with_all_texts(test::made_up_course(),
                                               "a\x1b[2Jb\xe2\x80\xae"
                                               "c");
    const std::string text = fhir_course(course, scores_of(course), kSettings);
    CHECK(text.find('\x1b') == std::string::npos);
    CHECK(text.find("\xe2\x80\xae") == std::string::npos);
    CHECK(text.find("\\u001b") == std::string::npos);  // FHIR has no such characters in a string
}
