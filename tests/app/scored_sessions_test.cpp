// Practice recordings through the whole line, as 'score' runs it: what is doubted, what is named, where the plan is
// found.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "support/run_program.hpp"

using nlohmann::json;
using tracehold::test::file_bytes;
using tracehold::test::holds;
using tracehold::test::kHomePlan;
using tracehold::test::ProgramResult;
using tracehold::test::run_program;
using tracehold::test::TemporaryFolder;

namespace {

constexpr double kFloor_uv = 0.7;  // of the simulated sensor where nothing else is said

// People of different strength, rest and quickness.
json session(int number, const std::string& file) {
    json muscle{{"work_uv", 12.0 + 8.5 * (number % 5)},
                {"rest_uv", 1.0 + 0.5 * (number % 4)},
                {"rise_s", std::vector{0.05, 0.15, 0.3, 0.6}[static_cast<std::size_t>(number % 4)]}};
    return {{"file", file},    {"person", "P-1"},      {"start", "2026-03-02T07:40:00"},
            {"rate_hz", 1000}, {"seed", 500 + number}, {"muscle", muscle}};
}

double rest_of(const json& session) { return std::hypot(session["muscle"]["rest_uv"].get<double>(), kFloor_uv); }

void make(const TemporaryFolder& folder, const std::vector<json>& sessions, const std::vector<std::string>& more = {}) {
    const json scenario{{"schema", "tracehold.scenario/1"}, {"base", json::object()}, {"sessions", sessions}};
    const std::string path = folder.write("scenario.json", scenario.dump());
    std::vector<std::string> words{"simulate", path, "--plan", kHomePlan, "--out", folder.path("made")};
    words.insert(words.end(), more.begin(), more.end());
    const ProgramResult result = run_program(words);
    CAPTURE(result.err);
    REQUIRE(result.status == 0);
}

// By the name of the file.
std::map<std::string, json> scored(const TemporaryFolder& folder) {
    const ProgramResult result =
        run_program({"score", folder.path("made"), "--plan", kHomePlan, "--format", "ndjson", "--quiet"});
    CAPTURE(result.err);
    std::map<std::string, json> all;
    std::istringstream lines(result.out);
    for (std::string line; std::getline(lines, line);) {
        json score = json::parse(line);
        const std::string source = score["recording"]["source"];
        all.emplace(source.substr(source.find_last_of('/') + 1), std::move(score));
    }
    return all;
}

json truth_of(const TemporaryFolder& folder, const std::string& file) {
    return json::parse(file_bytes(folder.path("made/" + file + ".truth.json")));
}

std::size_t graver_than_notes(const json& score) {
    const json& findings = score["quality"]["findings"];
    return static_cast<std::size_t>(
        std::count_if(findings.begin(), findings.end(), [](const json& f) { return f["severity"] != "note"; }));
}

bool is_found(const json& score, const std::string& code) {
    const json& findings = score["quality"]["findings"];
    return std::any_of(findings.begin(), findings.end(), [&](const json& f) { return f["code"] == code; });
}

struct Weak {
    std::string name, code;
    double times_rest;
    std::vector<json> faults;  // but for their strength
};

std::vector<json> at(const std::string& kind, int times, double first_s, double every_s, double length_s) {
    std::vector<json> faults;
    for (int i = 0; i < times; ++i) {
        faults.push_back({{"kind", kind}, {"from_s", first_s + every_s * i}});
        if (length_s > 0.0) faults.back()["length_s"] = length_s;
    }
    return faults;
}

}  // namespace

TEST_CASE("clean recordings are hardly ever doubted by what scoring adds") {
    constexpr int kRecordings = 60;
    const TemporaryFolder folder;
    std::vector<json> sessions;
    for (int i = 0; i < kRecordings; ++i) sessions.push_back(session(i, fmt::format("clean_{:02}.edf", i)));
    make(folder, sessions);
    const auto scores = scored(folder);
    REQUIRE(scores.size() == kRecordings);
    std::size_t doubted = 0, done = 0;
    for (const auto& [file, score] : scores) {
        CAPTURE(file);
        CAPTURE(score["quality"]["findings"].dump());
        CHECK(score["quality"]["usable"] == true);
        doubted += graver_than_notes(score) > 0;
        done += score["session"]["done"].get<std::size_t>();
        CHECK(score["session"]["extra"] == 0);
    }
    CHECK(doubted == 0);
    CHECK(done == 15 * kRecordings);
}

TEST_CASE("weaker faults are named as well") {
    constexpr int kEach = 20;
    const std::vector<Weak> kinds = {{"hum", "mains", 0.35, at("hum", 1, 0.0, 0.0, 0.0)},
                                     {"wobbling hum", "mains", 0.35, at("wobbling_hum", 1, 0.0, 0.0, 0.0)},
                                     {"beats", "heart_beats", 6.0, at("heart_beats", 1, 0.0, 0.0, 0.0)},
                                     {"spikes", "spikes", 25.0, at("spikes", 1, 0.0, 0.0, 0.0)},
                                     {"motion", "motion", 25.0, at("motion_burst", 5, 7.0, 31.5, 0.0)},
                                     {"flat", "contact_lost", 0.0, at("contact_flat", 3, 38.0, 36.0, 1.5)},
                                     {"open", "reference_off", 8.0, at("contact_open", 3, 38.0, 36.0, 3.0)}};
    const TemporaryFolder folder;
    std::vector<json> sessions;
    for (const Weak& kind : kinds) {
        for (int i = 0; i < kEach; ++i) {
            sessions.push_back(session(i, fmt::format("{}_{:02}.edf", kind.code + kind.name.substr(0, 1), i)));
            json& faults = sessions.back()["faults"] = kind.faults;
            for (json& fault : faults) {
                if (kind.times_rest > 0.0) fault["strength_uv"] = kind.times_rest * rest_of(sessions.back());
            }
        }
    }
    make(folder, sessions);
    const auto scores = scored(folder);
    for (const Weak& kind : kinds) {
        int named = 0;
        for (int i = 0; i < kEach; ++i)
            named += is_found(scores.at(fmt::format("{}_{:02}.edf", kind.code + kind.name.substr(0, 1), i)), kind.code);
        CAPTURE(kind.name);
        CHECK(named == kEach);
    }
}

TEST_CASE("a plan with a pause in it is found in sessions without marks") {
    constexpr int kSessions = 12;
    const TemporaryFolder folder;
    std::vector<json> sessions;
    for (int i = 0; i < kSessions; ++i) {
        json one = session(i, fmt::format("pause_{:02}.edf", i));
        one["marks"] = false;
        one["lead_in_s"] = std::fmod(17.3 * i, 60.0);
        one["pause_after_cycle"] = 1 + 5 * i % 14;
        one["pause_s"] = 5.0 + 3.0 * i;
        one["missed"] = std::vector{1 + 4 * i % 15};
        one["muscle"]["work_uv"] = 3.16 * rest_of(one);  // 10 dB
        sessions.push_back(std::move(one));
    }
    make(folder, sessions);
    for (const auto& [file, score] : scored(folder)) {
        CAPTURE(file);
        CHECK(score["cues"]["from"] == "aligned");
        std::vector<json> asked, planned;
        for (const json& cycle : score["cycles"]) {
            if (cycle["status"] != "extra") asked.push_back(cycle);
        }
        const json truth = truth_of(folder, file);
        for (const json& contraction : truth["contractions"]) {
            if (!contraction["planned"].is_null()) planned.push_back(contraction);
        }
        REQUIRE(asked.size() == planned.size());
        for (std::size_t i = 0; i < asked.size(); ++i) {
            if (planned[i]["performed"] == false) continue;
            CHECK(std::abs(asked[i]["work_s"][0].get<double>() - planned[i]["work_s"][0].get<double>()) <= 0.5);
        }
    }
}

TEST_CASE("EDF+ without cue marks is written and its session found in the trace") {
    const TemporaryFolder folder;
    std::vector<json> sessions = {session(2, "unmarked.edf"), session(2, "marked.edf")};
    sessions[0]["marks"] = false;
    make(folder, sessions);
    const auto scores = scored(folder);
    CHECK_FALSE(holds(file_bytes(folder.path("made/unmarked.edf")), "contract"));
    CHECK(holds(file_bytes(folder.path("made/marked.edf")), "contract"));
    CHECK(scores.at("marked.edf")["cues"]["from"] == "marks");
    CHECK(scores.at("unmarked.edf")["cues"]["from"] == "aligned");
    CHECK(scores.at("unmarked.edf")["session"]["done"] == 15);
    CHECK(is_found(scores.at("unmarked.edf"), "cues_estimated"));
}

// EDF+ has no samples for a gap: its first record is stamped later than the header says, and the recording begins
// there.
TEST_CASE("a recording that is interrupted at its start is named with how much is missing") {
    const TemporaryFolder folder;
    std::vector<json> sessions = {session(2, "late.csv"), session(2, "late.edf")};
    for (json& one : sessions) one["faults"] = {{{"kind", "gap"}, {"from_s", 0.0}, {"length_s", 4.0}}};
    make(folder, sessions);
    const auto scores = scored(folder);
    const json& findings = scores.at("late.csv")["quality"]["findings"];
    const auto missing =
        std::find_if(findings.begin(), findings.end(), [](const json& f) { return f["code"] == "missing"; });
    REQUIRE(missing != findings.end());
    CHECK((*missing)["spans_s"] == json::parse("[[0.0, 4.0]]"));
    const json& late = scores.at("late.edf");
    const json& notes = late["notes"];
    CHECK(std::any_of(notes.begin(), notes.end(), [](const json& note) {
        return note["code"] == "first_record_off" &&
               holds(note["text"].get<std::string>(), "stamped 4.000 s from the header's start");
    }));
    CHECK(late["recording"]["start"] == "2026-03-02T07:40:04");
    for (const auto& [file, score] : scores) {
        CAPTURE(file);
        CHECK(score["session"]["done"] == 15);
        const double gone_s = file == "late.edf" ? 4.0 : 0.0;
        CHECK(score["cycles"][0]["work_s"][0].get<double>() + gone_s == doctest::Approx(30.0));
    }
}

TEST_CASE("one seed makes the same bytes and the next another session") {
    const auto made = [](const std::string& seed) {
        const TemporaryFolder folder;
        make(folder, {session(0, "a.edf"), session(0, "b.edf")}, {"--seed", seed});
        std::vector<std::string> bytes;
        for (const char* file : {"a.edf", "b.edf", "a.edf.truth.json", "b.edf.truth.json"})
            bytes.push_back(file_bytes(folder.path(std::string("made/") + file)));
        return bytes;
    };
    const auto seven = made("7"), eight = made("8");
    CHECK(seven == made("7"));
    for (std::size_t i = 0; i < seven.size(); ++i) CHECK(seven[i] != eight[i]);
    const auto numbers = [](const std::string& truth) { return json::parse(truth)["contractions"]; };
    for (const std::string& of_seven : {seven[2], seven[3]}) {
        for (const std::string& of_eight : {eight[2], eight[3]}) CHECK(numbers(of_seven) != numbers(of_eight));
    }
}
