// A course from recordings and from results, as a clinician and as a script would ask for it.
#include <doctest/doctest.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "support/run_program.hpp"

using tracehold::test::file_bytes;
using tracehold::test::holds;
using tracehold::test::kHomePlan;
using tracehold::test::ProgramResult;
using tracehold::test::run_program;
using tracehold::test::TemporaryFolder;

namespace {

const std::string kVisitPlan = SOURCE_DIR "/examples/plan-clinic-reference.jsonc";

// Both example courses, simulated and scored once for all cases.
struct Courses {
    TemporaryFolder folder;
    std::string results;

    Courses() {
        for (const char* name : {"p014", "p022"}) {
            const std::string scenario = std::string(SOURCE_DIR "/examples/scenarios/course-") + name + ".json";
            REQUIRE(run_program({"simulate", scenario, "--plan", kHomePlan, "--out", folder.path(name)}).status == 0);
        }
        const ProgramResult scored = run_program({"score", folder.path(), "--plan", kHomePlan, "--format", "ndjson", "--quiet"});
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

// The number that follows a name.
double number_after(const std::string& text, const std::string& name) {
    const std::size_t at = text.find("\n" + name + "  ");  // "Best second ..." is another line
    REQUIRE(at != std::string::npos);
    return std::stod(text.substr(at + 1 + name.size()));
}

// The best second of each attempt, as the table has them: rows of a number, then a value.
std::vector<double> attempts_of(const std::string& text) {
    std::vector<double> values;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        std::istringstream cells(line);
        int number = 0;
        double value = 0.0;
        if (cells >> number >> value && number == static_cast<int>(values.size()) + 1) values.push_back(value);
    }
    return values;
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
    const ProgramResult from_recordings = run_program({"course", recordings, "--plan", kHomePlan, "--format", "json", "--quiet"});
    CHECK(from_recordings.status == 0);
    CHECK(nlohmann::json::parse(from_recordings.out)["phases"] == course_of("P-022")["phases"]);
    const ProgramResult both = run_program({"course", recordings, results, "--plan", kHomePlan, "--person", "P-022", "--format", "json", "--quiet"});
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

TEST_CASE("a folder gets a page of each person's course and no page holds two") {
    const TemporaryFolder folder;
    const auto into = [&](const std::string& out, const char* format, std::vector<std::string> more = {}) {
        std::vector<std::string> words = {"course", "-", "--by-person", "--format", format, "--out", out};
        words.insert(words.end(), more.begin(), more.end());
        return run_program(words, courses().results);
    };
    REQUIRE(into(folder.path("pages/"), "html").status == 0);
    const std::string one = tracehold::test::file_bytes(folder.path("pages/P-014.html")), other = tracehold::test::file_bytes(folder.path("pages/P-022.html"));
    CHECK(holds(one, "Course report: P-014"));
    CHECK_FALSE(holds(one, "P-022"));
    CHECK(holds(other, "Course report: P-022"));
    CHECK(one == run_program({"course", "-", "--person", "P-014", "--format", "html"}, courses().results).out);
    REQUIRE(into(folder.path("pages/"), "html", {"--for", "patient", "--language", "de"}).status == 0);
    CHECK_FALSE(tracehold::test::file_bytes(folder.path("pages/P-022.patient.de.html")).empty());
    REQUIRE(into(folder.path("pages/"), "csv").status == 0);
    CHECK(tracehold::test::file_bytes(folder.path("pages/P-014.measures.csv")).starts_with("schema,"));
    const ProgramResult file = into(folder.path("both.html"), "html");
    CHECK(file.status == 2);
    CHECK(holds(file.err, "add --out FOLDER/ for a page of each"));
    std::string odd = courses().results;
    for (std::size_t at = odd.find("\"P-022\""); at != std::string::npos; at = odd.find("\"P-022\"", at + 1)) odd.replace(at, 7, "\"../x\"");
    REQUIRE(run_program({"course", "-", "--by-person", "--format", "html", "--out", folder.path("odd/")}, odd).status == 0);
    CHECK(std::distance(std::filesystem::directory_iterator(folder.path("odd")), {}) == 2);  // none beside the folder
    CHECK_FALSE(std::filesystem::exists(folder.path("x.html")));
}

TEST_CASE("recordings are put in order by the start that the sessions list names") {
    const std::string early = "P-022_2026-03-09.edf", late = "P-022_2026-03-12.edf";
    const TemporaryFolder folder;
    const std::string list = folder.write("list.csv", "file,start\n" + early + ",2026-03-20T08:00:00\n" + late + ",2026-03-13T08:00:00\n");
    const auto order = [&](std::vector<std::string> more) {
        std::vector<std::string> words = {"course", courses().folder.path("p022/" + early), courses().folder.path("p022/" + late), "--plan", kHomePlan,
                                          "--format", "json", "--quiet"};
        words.insert(words.end(), more.begin(), more.end());
        const auto course = nlohmann::json::parse(run_program(words).out);
        std::string names;
        for (const auto& session : course["phases"][0]["sessions"])
            names += std::filesystem::path(session["source"].get<std::string>()).filename().string() + " " + session["date"].get<std::string>() + ";";
        return names;
    };
    CHECK(order({}) == early + " 2026-03-09;" + late + " 2026-03-12;");
    CHECK(order({"--sessions", list}) == late + " 2026-03-13;" + early + " 2026-03-20;");
}

TEST_CASE("a review dated before a person's first recording is told on her course and on no other") {
    const TemporaryFolder folder;
    const auto told = [&](const std::string& rows, const std::string& person) {
        const std::string list = folder.write("list.csv", "file,person,reviewed\n" + rows);
        const ProgramResult result = run_program({"course", "-", "--person", person, "--sessions", list, "--format", "json"}, courses().results);
        CHECK(result.status == 0);
        return holds(nlohmann::json::parse(result.out)["notes"].dump(), "review_before_first");
    };
    CHECK(told(",P-022,2026-01-01\n", "P-022"));
    CHECK_FALSE(told(",P-022,2026-01-01\n", "P-014"));
    CHECK_FALSE(told(",P-022,2099-01-01\n,P-014,2026-01-01\n", "P-022"));
    CHECK_FALSE(told(",P-022,some day\n", "P-022"));
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

TEST_CASE("a computer whose clock was never set does not call all sessions later than today") {
    const auto used = [&] {
        const ProgramResult result = run_program({"course", "-", "--person", "P-014", "--format", "json"}, courses().results);
        return std::pair{nlohmann::json::parse(result.out)["sessions"], result.err};
    };
    const auto [sessions, quiet] = used();
    CHECK_FALSE(holds(quiet, "clock"));
    ::setenv("SOURCE_DATE_EPOCH", "0", 1);
    const auto [same, said] = used();
    ::unsetenv("SOURCE_DATE_EPOCH");
    CHECK(same == sessions);
    CHECK(holds(said, "this computer's clock shows 1970-01-01, which cannot be"));
}

TEST_CASE("a threshold is taken from one recording and from no training session") {
    const std::string home = courses().folder.path("p014/P-014_2026-03-09.edf"),
                      other = courses().folder.path("p022/P-022_2026-03-09.edf");
    const TemporaryFolder folder;
    const auto refusal = [&](std::vector<std::string> words) {
        words.insert(words.begin(), {"plan", "threshold"});
        words.insert(words.end(), {"--out", folder.path("new.jsonc")});
        const ProgramResult result = run_program(words);
        CHECK(result.status == (holds(result.err, "comes from one recording") || holds(result.err, "one INPUT") ? 2 : 1));
        CHECK(result.out.empty());
        CHECK(tracehold::test::file_bytes(folder.path("new.jsonc")).empty());
        return result.err;
    };
    CHECK(holds(refusal({home, other, "--plan", kHomePlan}), "one INPUT is expected: saw '" + other + "' too"));
    CHECK(holds(refusal({courses().folder.path("p014"), "--plan", kHomePlan}), "a threshold comes from one recording: saw 54"));
    CHECK(holds(refusal({home, "--plan", kHomePlan}), "saw the cues of the plan 'Home A' itself"));
    CHECK(holds(refusal({home, "--plan", kHomePlan}), "--performed FILE"));
    CHECK(holds(refusal({home, "--plan", kVisitPlan}), "reads like a training session: saw 15 contractions"));
    CHECK(holds(refusal({home, "--plan", kHomePlan, "--performed", kHomePlan}),
                "no threshold is taken from training: saw the plan 'Home A'"));
    CHECK(holds(refusal({home, "--plan", kHomePlan, "--performed", kVisitPlan}),
                "do not follow the plan that is said to have been performed"));
    CHECK(holds(refusal({home, "--plan", kHomePlan, "--performed", kVisitPlan}), "saw 15 contractions, expected 3 of its lengths and rests"));
}

TEST_CASE("a clinic visit among home sessions is named and neither counted nor compared") {
    const TemporaryFolder folder;
    REQUIRE(run_program({"simulate", SOURCE_DIR "/examples/scenarios/clinic-visit.json", "--plan", kVisitPlan, "--out",
                         folder.path("visit")})
                .status == 0);
    const ProgramResult result = run_program({"course", courses().folder.path("p014"), folder.path("visit"), "--plan",
                                              kHomePlan, "--format", "json", "--quiet"});
    CHECK(result.status == 0);
    const auto course = nlohmann::json::parse(result.out);
    CHECK(course["adherence"]["sessions"] == 54);
    CHECK(course["adherence"]["planned_sessions"] == doctest::Approx(72.0));
    CHECK(course["phases"].size() == 1);
    REQUIRE(course["left_out"].size() == 1);
    CHECK(course["left_out"][0]["code"] == "other_plan");
    CHECK(holds(course["left_out"][0]["reason"], "3 cues of 5 s that do not follow its plan 'Home A'"));

    const std::string list = folder.write("list.csv", "file,plan\nP-014_2026-02-26_reference.edf," + kVisitPlan + "\n");
    const ProgramResult named = run_program({"course", courses().folder.path("p014"), folder.path("visit"), "--plan",
                                             kHomePlan, "--sessions", list, "--format", "json", "--quiet"});
    const auto with_visit = nlohmann::json::parse(named.out);
    CHECK(with_visit["left_out"].empty());
    CHECK(with_visit["phases"].size() == 3);  // of the visit its opening rest and its holds
    CHECK(with_visit["adherence"]["sessions"] == 54);
}

TEST_CASE("the rests of an assessment are measured as they are and compared from visit to visit") {
    const TemporaryFolder folder;
    const std::string plan = folder.write("assessment.json", R"({
        "schema": "tracehold.plan/1", "name": "Assessment", "purpose": "assessment", "posture": "lying",
        "steps": [{"do": "rest", "seconds": 30}, {"do": "rapid", "seconds": 2, "rest_seconds": 4, "times": 3},
                  {"do": "hold", "seconds": 6, "rest_seconds": 8, "times": 3},
                  {"do": "endurance", "seconds": 20, "rest_seconds": 10, "times": 1}, {"do": "rest", "seconds": 30}]})");
    const std::string scenario = folder.write("visits.json", R"({
        "schema": "tracehold.scenario/1", "base": {"rate_hz": 1000, "person": "P-030"}, "sessions": [
        {"file": "v1.edf", "start": "2026-03-02T10:00:00", "seed": 31, "muscle": {"rest_uv": 3.2, "work_uv": 18}},
        {"file": "v2.edf", "start": "2026-04-13T10:00:00", "seed": 32, "muscle": {"rest_uv": 2.0, "work_uv": 24}}]})");
    REQUIRE(run_program({"simulate", scenario, "--plan", plan, "--out", folder.path("visits")}).status == 0);
    const ProgramResult scored = run_program({"score", folder.path("visits"), "--plan", plan, "--format", "ndjson", "--quiet"});
    REQUIRE(scored.status == 0);
    std::vector<nlohmann::json> rests;
    std::istringstream lines(scored.out);
    for (std::string line; std::getline(lines, line);) rests.push_back(nlohmann::json::parse(line)["session"]["rests"]);
    REQUIRE(rests.size() == 2);
    for (int visit = 1; visit <= 2; ++visit) {
        const std::string truth = folder.path("visits/v" + std::to_string(visit) + ".edf.truth.json");
        const double rest_uv = nlohmann::json::parse(file_bytes(truth))["rest_uv"];
        const auto& measured = rests[static_cast<std::size_t>(visit) - 1];
        REQUIRE(measured.size() == 2);
        for (const auto& rest : measured) {
            CAPTURE(rest.dump());
            const double mean_uv = rest["rest_mean_uv"], error_uv = rest["errors"]["rest_mean_uv"];
            CHECK(error_uv < 0.02 * rest_uv);
            CHECK(std::abs(mean_uv - rest_uv) < 3.0 * error_uv + 0.01 * rest_uv);  // a short window's RMS reads up to 1 % lower
            CHECK(rest["rest_cv_pct"].get<double>() > 5.0);  // of 100 ms of noise: 1 / (2 sqrt(B 0.1 s)), B 20 to 430 Hz
            CHECK(rest["rest_cv_pct"].get<double>() < 36.0);
        }
        CHECK(measured[0]["step"] == 1);
        CHECK(measured[1]["step"] == 5);
    }
    const ProgramResult course = run_program({"course", "-", "--format", "json"}, scored.out);
    const auto phases = nlohmann::json::parse(course.out)["phases"];
    REQUIRE(phases.size() == 5);
    for (const std::size_t at : {std::size_t{0}, std::size_t{4}}) {
        CHECK(phases[at]["contraction"] == "rest");
        CHECK(phases[at]["step_name"] == (at == 0 ? "opening rest 30 s" : "closing rest 30 s"));
        REQUIRE(phases[at]["measures"].size() == 1);
        const auto& points = phases[at]["measures"]["rest_mean_uv"]["points"];
        for (std::size_t visit = 0; visit < 2; ++visit) CHECK(points[visit]["value"] == rests[visit][at / 4]["rest_mean_uv"]);
    }
    const std::string text = run_program({"course", "-"}, scored.out).out;
    CHECK(holds(text, "within the published error of +44 % or −31 %"));
    CHECK_FALSE(holds(text, "sets of conditions"));  // steps of one plan
    for (const auto& phase : phases) {
        for (const auto& [key, measure] : phase["measures"].items()) CHECK(measure["beyond_published"].is_boolean() == (measure["primary"] && key != "endurance_s"));
    }
    CHECK(holds(text, "2 assessments with a date"));
}

TEST_CASE("the weeks of a course are a table of their own") {
    const ProgramResult weeks = run_program({"course", "-", "--person", "P-014", "--format", "weeks"}, courses().results);
    REQUIRE(weeks.status == 0);
    std::istringstream lines(weeks.out);
    std::string line;
    std::getline(lines, line);
    CHECK(line == "schema,person,iso_year,iso_week,monday,planned_sessions,sessions,planned_contractions,contractions,counting,longest_gap_days,sessions_after_plan");
    std::getline(lines, line);
    CHECK(line == "tracehold.course_weeks/1,P-014,2026,11,2026-03-09,6,5,90,75,75,1,0");
    int more = 0;
    while (std::getline(lines, line)) ++more;
    CHECK(more == 11);
}

namespace {

// The results of P-022 with each changed by its number, as text and as a page.
struct Pages {
    int status = 0;
    std::string text, html, err;
};

Pages pages_of(const std::string& results) {
    const ProgramResult text = run_program({"course", "-"}, results), html = run_program({"course", "-", "--format", "html"}, results);
    return {text.status, text.out, html.out, text.err};
}

// Words as they stand in the text, whose lines are broken, and on the page.
bool both_say(const Pages& pages, const std::string& words) {
    std::string text;
    for (const char c : pages.text) {
        if (!text.empty() && std::isspace(static_cast<unsigned char>(c)) != 0 && text.back() == ' ') continue;
        text += std::isspace(static_cast<unsigned char>(c)) != 0 ? ' ' : c;
    }
    CAPTURE(words);
    CHECK(holds(text, words));
    return holds(text, words) && (holds(pages.html, words) || words.find('\'') != std::string::npos);
}

Pages changed(const std::function<void(nlohmann::json&, int)>& change) {
    std::istringstream lines(courses().results);
    std::string results;
    int number = 0;
    for (std::string line; std::getline(lines, line);) {
        nlohmann::json result = nlohmann::json::parse(line);
        if (result["recording"]["person"] != "P-022") continue;
        change(result, number++);
        if (!result.is_null()) results += result.dump() + "\n";
    }
    return pages_of(results);
}

}  // namespace

TEST_CASE("a course of sessions without a date or with an impossible one says what it could not do") {
    const auto with_start = [](int first, const nlohmann::json& start) {
        return changed([&](nlohmann::json& result, int number) { if (number < first) result["recording"]["start"] = start; });
    };
    const Pages some = with_start(5, nullptr);
    CHECK(both_say(some, "24 found, 19 used, 0 not usable, 5 left out"));
    CHECK(both_say(some, "Not counted, and maybe sessions of the dose: 5 recordings without a date."));
    CHECK(both_say(some, "no date: it is in no trend and in no week"));
    const Pages none = with_start(24, nullptr);
    CHECK(none.status == 0);
    CHECK(both_say(none, "24 sessions found, none with a date: what was done cannot be counted by week."));
    CHECK(both_say(none, "Without dates that can be right no session can be compared with another."));
    const Pages unset = with_start(5, "1985-01-01T00:00:00");
    CHECK(both_say(unset, "5 recordings with a date that cannot be right."));
    CHECK(both_say(unset, "dated 1985-01-01"));
    CHECK(both_say(with_start(24, "1985-01-01T00:00:00"), "24 carry a date that cannot be right, so what was done cannot be counted by week."));
    CHECK(both_say(with_start(3, "2131-01-01T08:00:00"), "dated 2131-01-01: in the future"));
}

TEST_CASE("sessions without a posture and those of a changed plan are kept apart or told from when") {
    const Pages some = changed([](nlohmann::json& result, int number) { if (number < 5) result["recording"]["posture"] = nullptr; });
    CHECK(both_say(some, "posture not stated"));
    CHECK(both_say(some, "5 sessions name no posture: they are compared among themselves as if it were the same, which nobody says"));
    const Pages plan = changed([](nlohmann::json& result, int number) {
        if (number < 12) return;
        result["plan"]["name"] = "Home B";
        result["plan"]["sha256"] = std::string(64, '0');
    });
    CHECK(both_say(plan, "By another plan (Home B) from 2026-03-30 on: what differs after it may be the plan's doing."));
    CHECK(both_say(plan, "From 2026-03-30 by another plan: Home B."));
}

TEST_CASE("a course of two people is refused and one of one session or of rejected ones is described") {
    const Pages two = changed([](nlohmann::json& result, int number) { if (number > 20) result["recording"]["person"] = "P-099"; });
    CHECK(two.status == 1);
    CHECK(two.text.empty());
    CHECK(holds(two.err, "recordings of 2 persons: saw 'P-022' and 'P-099', expected one person"));
    const Pages one = changed([](nlohmann::json& result, int number) { if (number > 0) result = nullptr; });
    CHECK(both_say(one, "1 session on 2026-03-09 (too short a time to hold against the dose)"));
    CHECK(both_say(one, "One session only: it can be described, not followed."));

    const TemporaryFolder folder;
    const std::string scenario = folder.write("open.json", R"({"schema": "tracehold.scenario/1", "base": {"rate_hz": 1000, "person": "P-040",
        "faults": [{"kind": "contact_open", "from_s": 5, "length_s": 230, "strength_uv": 60}]}, "sessions": [
        {"file": "r1.edf", "start": "2026-03-09T08:19:00", "seed": 1}, {"file": "r2.edf", "start": "2026-03-10T08:19:00", "seed": 2},
        {"file": "r3.edf", "start": "2026-03-12T08:19:00", "seed": 3}]})");
    REQUIRE(run_program({"simulate", scenario, "--plan", kHomePlan, "--out", folder.path("open")}).status == 0);
    const ProgramResult scored = run_program({"score", folder.path("open"), "--plan", kHomePlan, "--format", "ndjson", "--quiet"});
    const Pages rejected = pages_of(scored.out);
    CHECK(rejected.status == 0);
    CHECK(both_say(rejected, "3 found, 0 used, 3 not usable, 0 left out"));
    CHECK(both_say(rejected, "how many contractions were done cannot be told, no signal could be scored"));
    CHECK(both_say(rejected, "No signal could be scored: nothing can be compared."));
    CHECK(both_say(rejected, "signal not usable: mains hum"));
}

TEST_CASE("files that could not be read leave their names on every page of a course") {
    const TemporaryFolder folder;
    const std::string bytes = tracehold::test::file_bytes(courses().folder.path("p022/P-022_2026-03-09.edf"));
    const std::string cut = folder.write("cut.edf", bytes.substr(0, 3000)),
                      junk = folder.write("junk.csv", "a,b\nc,d\n");
    for (const char* format : {"text", "md", "html", "json"}) {
        const ProgramResult result = run_program(
            {"course", courses().folder.path("p022"), cut, junk, "--plan", kHomePlan, "--format", format, "--quiet"});
        CHECK(result.status == 1);
        CHECK(holds(result.err, "cut.edf: the recording ends before the plan"));
        CHECK(holds(result.out, "cut.edf"));
        CHECK(holds(result.out, "junk.csv"));
    }
    const ProgramResult patient =
        run_program({"course", courses().folder.path("p022"), cut, "--plan", kHomePlan, "--for", "patient", "--quiet"});
    CHECK(holds(patient.out, "How sure is this?"));
    CHECK(holds(patient.out, "1 file could not be read."));
    CHECK_FALSE(holds(patient.out, "cut.edf"));
    const ProgramResult hidden =
        run_program({"course", courses().folder.path("p022"), cut, "--plan", kHomePlan, "--identity", "anonymous",
                     "--format", "json", "--quiet"});
    CHECK_FALSE(holds(hidden.out + hidden.err, "cut.edf"));
}

TEST_CASE("what a course prints can be explained and no other person is suggested") {
    for (const char* key : {"hold_of_reference_pct", "no_change_shown", "needed", "adherence_pct", "step_done_pct",
                            "baseline", "current"}) {
        const ProgramResult result = run_program({"explain", key});
        CHECK(result.status == 0);
        CHECK(holds(result.out, key));
    }
    CHECK(holds(run_program({"explain"}).out, "hold_of_reference_pct"));
    CHECK(holds(run_program({"explain", "rules"}).out, "tracehold.rules/1"));
    CHECK(holds(run_program({"explain", "hold_of_referenc_pct"}).err, "did you mean 'hold_of_reference_pct'?"));
    const ProgramResult nobody = run_program({"course", "-", "--person", "P-099"}, courses().results);
    CHECK(nobody.status == 1);
    CHECK(holds(nobody.err, "saw 'P-099', expected one of 'P-014', 'P-022'"));
    CHECK_FALSE(holds(nobody.err, "did you mean"));
}

TEST_CASE("a home sheet is of one plan and says on standard error what is odd about it") {
    const TemporaryFolder folder;
    std::string text = tracehold::test::file_bytes(kHomePlan);
    const std::string rest = "\"rest_seconds\": 9";
    text.replace(text.find(rest), rest.size(), "\"rest_seconds\": 4");
    const std::string plan = folder.write("odd.jsonc", text);
    const ProgramResult sheet = run_program({"plan", "sheet", plan});
    CHECK(sheet.status == 0);
    CHECK(holds(sheet.err, "the rest is shorter than the contraction"));
    CHECK_FALSE(holds(sheet.out, "shorter than the contraction"));
    CHECK(run_program({"plan", "sheet", kHomePlan}).err.empty());
    const std::string line = "\"percent_of_reference\": 50";
    std::string high = tracehold::test::file_bytes(kHomePlan);
    REQUIRE(high.find(line) != std::string::npos);
    high.replace(high.find(line), line.size(), "\"percent_of_reference\": 101");
    const ProgramResult unreachable = run_program({"plan", "sheet", folder.write("high.jsonc", high)});
    CHECK(unreachable.status != 0);
    CHECK(unreachable.out.empty());
    CHECK(holds(unreachable.err, "/threshold/percent_of_reference: the threshold is 101 % of the reference"));
    CHECK(holds(run_program({"plan", "sheet", plan, kHomePlan}).err, "one INPUT is expected: saw '" + kHomePlan + "' too"));
    std::string unknown = tracehold::test::file_bytes(kHomePlan);
    REQUIRE(unknown.find("\"rest_mean_uv\"") != std::string::npos);
    unknown.replace(unknown.find("\"rest_mean_uv\""), 14, "\"rest_maen_uv\"");
    CHECK(holds(run_program({"plan", "sheet", folder.write("unknown.jsonc", unknown)}).err, "a target names no measure: saw 'rest_maen_uv'"));
    const ProgramResult visit = run_program({"plan", "sheet", kVisitPlan});
    CHECK(visit.status == 2);
    CHECK(visit.out.empty());
    CHECK(holds(visit.err, "a home sheet is of a training plan: saw an assessment, which is done at a visit"));
}

TEST_CASE("a threshold is taken from a sound reference recording and from no other") {
    const TemporaryFolder folder;
    REQUIRE(run_program({"simulate", SOURCE_DIR "/examples/scenarios/clinic-visit.json", "--plan", kVisitPlan, "--out",
                         folder.path("visit")})
                .status == 0);
    const std::string reference = folder.path("visit/P-014_2026-02-26_reference.edf");
    const ProgramResult result = run_program({"plan", "threshold", reference, "--plan", kHomePlan, "--percent", "40", "--out", folder.path("new.jsonc")});
    CHECK(result.status == 0);
    CHECK(holds(result.out, "40 % of the reference"));
    const std::vector<double> best = attempts_of(result.out);
    REQUIRE(best.size() == 3);
    const double most = *std::max_element(best.begin(), best.end()), mean = (best[0] + best[1] + best[2]) / 3.0;
    double squares = 0.0;
    for (const double one : best) squares += (one - mean) * (one - mean);
    const double spread_pct = 100.0 * std::sqrt(squares / 2.0) / mean;
    CHECK(std::abs(number_after(result.out, "Best") - most) < 0.06);  // both rounded to a tenth
    CHECK(std::abs(number_after(result.out, "Mean") - mean) < 0.11);
    CHECK(std::abs(number_after(result.out, "Spread") - spread_pct) < 1.0);
    CHECK(std::abs(number_after(result.out, "Threshold") - 0.4 * most) < 0.11);
    CHECK(number_after(result.out, "Best") == doctest::Approx(27.8));
    CHECK(holds(tracehold::test::file_bytes(folder.path("new.jsonc")), "\"reference_uv\": 27.8"));
    CHECK(holds(result.out, "No plan says what was performed here"));
    CHECK(holds(tracehold::test::file_bytes(folder.path("new.jsonc")), "\"percent_of_reference\": 40"));
    CHECK(run_program({"plan", "check", folder.path("new.jsonc")}).status == 0);
    const ProgramResult named =
        run_program({"plan", "threshold", reference, "--plan", kHomePlan, "--performed", kVisitPlan});
    CHECK(named.status == 0);
    CHECK_FALSE(holds(named.out, "No plan says"));
    CHECK_FALSE(holds(result.out, "below the threshold that is written"));  // 40 % of the best: all reach it
    CHECK(holds(run_program({"plan", "threshold", reference, "--plan", kHomePlan, "--performed", kVisitPlan, "--percent", "100"}).out,
                "2 of the 3 attempts lie below the threshold that is written (27.8 µV)"));
    CHECK(holds(named.out, "P-014, 2026-02-26"));

    REQUIRE(run_program({"simulate", SOURCE_DIR "/examples/scenarios/home-week.json", "--plan", kHomePlan, "--out", folder.path("week")}).status == 0);
    const ProgramResult refused =
        run_program({"plan", "threshold", folder.path("week/P-014_2026-03-04_a.csv"), "--plan", kHomePlan, "--out", folder.path("bad.jsonc")});
    CHECK(refused.status == 1);
    CHECK(holds(refused.err, "no threshold is taken from a signal in doubt"));
    CHECK(tracehold::test::file_bytes(folder.path("bad.jsonc")).empty());
}

TEST_CASE("a file named as results are is read or named, and only other files of the program are passed over") {
    const TemporaryFolder folder;
    std::filesystem::create_directory(folder.path("in"));
    const std::string& all = courses().results;
    folder.write("in/two.ndjson", all.substr(0, all.find('\n', all.find('\n') + 1) + 1));  // each is scored again by verify
    folder.write("in/plan.json", R"({"schema": "tracehold.plan/1", "name": "Home"})");
    folder.write("in/a.truth.json", R"({"schema": "tracehold.truth/1"})");
    const auto run = [&](const std::string& command) {
        if (command == "verify") return run_program({command, folder.path("in"), "--recordings", courses().folder.path(), "--plan", kHomePlan, "--quiet"});
        if (command == "course") return run_program({command, folder.path("in"), "--by-person", "--format", "ndjson"});
        return run_program({command, folder.path("in"), "--format", "json"});
    };
    const ProgramResult course = run("course");
    CHECK(course.status == 0);
    CHECK(holds(course.err, "2 files of other kinds passed over: 1 plan, 1 truth"));
    CHECK(run("verify").status == 0);
    folder.write("in/cut.json", courses().results.substr(0, 20));
    folder.write("in/empty.json", "");
    folder.write("in/list.jsonl", R"([{"a": 1}])");
    folder.write("in/none.ndjson", R"({"name": "of nobody"})");
    folder.write("in/other.json", R"({"schema": "other/1"})");
    folder.write("in/words.json", "no braces here");
    for (const char* command : {"verify", "course", "audit"}) {
        CAPTURE(command);
        const ProgramResult result = run(command);
        CHECK(result.status == 1);
        for (const char* name : {"cut.json", "empty.json", "list.jsonl", "none.ndjson", "other.json", "words.json"}) {
            CAPTURE(name);
            CHECK(holds(result.err + result.out, name));
        }
        CHECK_FALSE(holds(result.err + result.out, "a.truth.json"));
    }
}
