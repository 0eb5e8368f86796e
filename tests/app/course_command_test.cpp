// A course from recordings and from results, as a clinician and as a script would ask for it.
#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "support/run_program.hpp"

using tracehold::test::ProgramResult;
using tracehold::test::run_program;
using tracehold::test::TemporaryFolder;

namespace {

const std::string kPlan = SOURCE_DIR "/examples/plan-home-a.jsonc";

bool holds(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

// Both example courses, simulated and scored once for all cases.
struct Courses {
    TemporaryFolder folder;
    std::string results;

    Courses() {
        for (const char* name : {"p014", "p022"}) {
            const std::string scenario = std::string(SOURCE_DIR "/examples/scenarios/course-") + name + ".json";
            REQUIRE(run_program({"simulate", scenario, "--plan", kPlan, "--out", folder.path(name)}).status == 0);
        }
        const ProgramResult scored = run_program({"score", folder.path(), "--plan", kPlan, "--format", "ndjson", "--quiet"});
        REQUIRE(scored.status == 0);
        results = scored.out;
    }
};

const Courses& courses() {
    static const Courses made;
    return made;
}

nlohmann::json course_of(const std::string& person) {
    const ProgramResult result = run_program({"course", "-", "--person", person, "--format", "json"}, courses().results);
    REQUIRE(result.status == 0);
    return nlohmann::json::parse(result.out);
}

}  // namespace

TEST_CASE("one example person's holds rise and release gets quicker and the other's do not") {
    const auto rising = course_of("P-014");
    CHECK(rising["schema"] == "tracehold.course/1");
    const auto& measures = rising["phases"][0]["measures"];
    CHECK(measures["hold_mean_uv"]["statement"] == "more");
    CHECK(measures["release_s"]["statement"] == "less");
    CHECK(measures["rest_mean_uv"]["statement"] == "no_change_shown");

    const auto level = course_of("P-022");
    CHECK(level["phases"][0]["measures"]["hold_mean_uv"]["statement"] == "no_change_shown");
    bool asks_about_rest = false;
    for (const auto& question : level["questions"]) asks_about_rest = asks_about_rest || holds(question["code"], "rest");
    CHECK(asks_about_rest);
}

TEST_CASE("recordings and their results give the same course and count once together") {
    const TemporaryFolder folder;
    const std::string results = folder.write("all.ndjson", courses().results);
    const std::string recordings = courses().folder.path("p022");
    const ProgramResult from_recordings = run_program({"course", recordings, "--plan", kPlan, "--format", "json", "--quiet"});
    CHECK(from_recordings.status == 0);
    CHECK(nlohmann::json::parse(from_recordings.out)["phases"] == course_of("P-022")["phases"]);
    const ProgramResult both = run_program({"course", recordings, results, "--plan", kPlan, "--person", "P-022", "--format", "json", "--quiet"});
    CHECK(nlohmann::json::parse(both.out)["phases"][0]["sessions"].size() == 24);
}

TEST_CASE("two persons in one course are named and can be told apart") {
    const ProgramResult mixed = run_program({"course", "-"}, courses().results);
    CHECK(mixed.status == 1);
    CHECK(mixed.out.empty());
    CHECK(holds(mixed.err, "saw 'P-014' and 'P-022', expected one person"));
    const ProgramResult apart = run_program({"course", "-", "--by-person", "--format", "ndjson"}, courses().results);
    CHECK(apart.status == 0);
    CHECK(std::count(apart.out.begin(), apart.out.end(), '\n') == 2);
    CHECK(run_program({"course", "-", "--person", "P-041"}, courses().results).status == 1);
}

TEST_CASE("a clock in the future is left out and named") {
    const ProgramResult first = run_program({"course", "-", "--person", "P-022", "--format", "json"}, courses().results);
    CHECK(nlohmann::json::parse(first.out)["left_out"].empty());
    std::string moved = courses().results;
    const std::string date = "\"start\":\"2026-03-10";
    REQUIRE(moved.find(date) != std::string::npos);
    for (std::size_t at = moved.find(date); at != std::string::npos; at = moved.find(date, at + 1)) moved.replace(at, date.size(), "\"start\":\"2099-03-10");
    const ProgramResult result = run_program({"course", "-", "--person", "P-022", "--format", "json"}, moved);
    CHECK(holds(nlohmann::json::parse(result.out)["left_out"].dump(), "2099-03-10"));
}

TEST_CASE("a threshold is taken from a sound reference recording and from no other") {
    const TemporaryFolder folder;
    REQUIRE(run_program({"simulate", SOURCE_DIR "/examples/scenarios/clinic-visit.json", "--plan", SOURCE_DIR "/examples/plan-clinic-reference.jsonc", "--out",
                         folder.path("visit")})
                .status == 0);
    const std::string reference = folder.path("visit/P-014_2026-02-26_reference.edf");
    const ProgramResult result = run_program({"plan", "threshold", reference, "--plan", kPlan, "--percent", "40", "--out", folder.path("new.jsonc")});
    CHECK(result.status == 0);
    CHECK(holds(result.out, "40 % of the reference"));
    CHECK(holds(tracehold::test::file_bytes(folder.path("new.jsonc")), "\"percent_of_reference\": 40"));
    CHECK(run_program({"plan", "check", folder.path("new.jsonc")}).status == 0);

    REQUIRE(run_program({"simulate", SOURCE_DIR "/examples/scenarios/home-week.json", "--plan", kPlan, "--out", folder.path("week")}).status == 0);
    const ProgramResult refused =
        run_program({"plan", "threshold", folder.path("week/P-014_2026-03-04_a.csv"), "--plan", kPlan, "--out", folder.path("bad.jsonc")});
    CHECK(refused.status == 1);
    CHECK(holds(refused.err, "no threshold is taken from a signal in doubt"));
    CHECK(tracehold::test::file_bytes(folder.path("bad.jsonc")).empty());
}
