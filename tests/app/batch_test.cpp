// Many files at once: lists, parts, results that are there already, results that are checked.
#include <doctest/doctest.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <future>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "support/run_program.hpp"
#include "tracehold/core/sha256.hpp"

using tracehold::test::file_bytes;
using tracehold::test::holds;
using tracehold::test::ProgramResult;
using tracehold::test::run_program;
using tracehold::test::TemporaryFolder;

namespace {

namespace fs = std::filesystem;

// Amplitudes at 20 Hz with a contraction of 6 s in every 12.
std::string amplitudes(int variant, const std::string& person = {}) {
    std::string text = person.empty() ? "" : "# person: " + person + "\n";
    text += "time_s,emg_uV\n";
    for (int i = 0; i < 1200; ++i) {
        const double t = i / 20.0, noise = (i * 7919 + variant * 1031) % 1009 / 1009.0;
        const bool works = static_cast<int>(t + 9.0) % 12 < 6;
        text += std::to_string(t) + "," + std::to_string(2.0 + noise + (works ? 14.0 + variant : 0.0)) + "\n";
    }
    return text;
}

std::string replaced(std::string text, const std::string& what, const std::string& by) {
    const auto at = text.find(what);
    REQUIRE(at != std::string::npos);
    return text.replace(at, what.size(), by);
}

// A recording, its result and the plan of both.
struct Scored {
    TemporaryFolder folder;
    std::string recording = folder.write("in/monday.csv", amplitudes(1, "P-201"));
    std::string plan = folder.write("plan.json", R"({"schema": "tracehold.plan/1", "name": "five", "posture": "lying",
        "steps": [{"do": "rest", "seconds": 3}, {"do": "hold", "seconds": 6, "rest_seconds": 6, "times": 4}]})");
    std::string result = folder.path("monday.json");
    Scored() {
        const ProgramResult made = run_program({"score", recording, "--plan", plan, "--start", "0", "--format", "json", "--out", result, "--quiet"});
        REQUIRE(made.status == 0);
    }
};

}  // namespace

TEST_CASE("a result is verified by scoring again and each thing that changed is named") {
    const Scored scored;
    const ProgramResult same = run_program({"verify", scored.result});
    CHECK(same.status == 0);
    CHECK(holds(same.out, "monday.json: verified, "));
    CHECK(holds(same.out, "1 of 1 results verified"));
    const std::string text = file_bytes(scored.result);

    SUBCASE("a number") {
        const auto mean = nlohmann::json::parse(text)["cycles"][2]["measures"]["work_mean_uv"].dump();
        scored.folder.write("monday.json", replaced(text, mean, "99.5"));
        const ProgramResult result = run_program({"verify", scored.result});
        CHECK(result.status == 1);
        CHECK(holds(result.out, "/measures/work_mean_uv: the result says 99.5, now it is " + mean));
    }
    SUBCASE("the name of another recording that is there") {
        scored.folder.write("tuesday.csv", amplitudes(5));
        scored.folder.write("monday.json", replaced(text, "monday.csv", "tuesday.csv"));
        const ProgramResult result = run_program({"verify", scored.result, "--recordings", scored.folder.path()});
        CHECK(result.status == 1);
        CHECK(holds(result.out, "/recording/source: the result says tuesday.csv, now it is monday.csv"));
    }
    SUBCASE("the version") {
        scored.folder.write("monday.json", replaced(text, R"("version": ")", R"("version": "9)"));
        const ProgramResult result = run_program({"verify", scored.result});
        CHECK(result.status == 1);
        CHECK(holds(result.out, "/tool/version: the result says"));
    }
    SUBCASE("a setting of the processing is used again and not a difference of its own") {
        scored.folder.write("monday.json", replaced(text, R"("subtract_baseline": false)", R"("subtract_baseline": true)"));
        const ProgramResult result = run_program({"verify", scored.result});
        CHECK(result.status == 1);
        CHECK_FALSE(holds(result.out, "/tool/settings"));
        CHECK(holds(result.out, "/measures/"));
    }
    SUBCASE("a setting of a filter that was not run") {
        for (const char* name : {"high_pass_hz", "low_pass_hz", "order", "window_s", "mains", "envelope"}) {
            CAPTURE(name);
            const std::string setting = fmt::format("\"{}\": ", name), value = name == std::string("mains") ? "\"off\"" : name == std::string("envelope") ? "\"rectified\"" : "30";
            scored.folder.write("monday.json", replaced(text, setting + "null", setting + value));
            const ProgramResult result = run_program({"verify", scored.result});
            CHECK(result.status == 1);
            CHECK(holds(result.out, fmt::format("/tool/settings/{}: the result says {}, now it is null", name, value)));
        }
    }
    SUBCASE("the recording") {
        scored.folder.write("in/monday.csv", amplitudes(2, "P-201"));
        const ProgramResult result = run_program({"verify", scored.result});
        CHECK(result.status == 1);
        CHECK(holds(result.out, "has changed, SHA-256: the result says"));
    }
    SUBCASE("the plan") {
        scored.folder.write("plan.json", file_bytes(scored.plan) + "\n");
        const ProgramResult result = run_program({"verify", scored.result});
        CHECK(result.status == 1);
        CHECK(holds(result.out, "the plan " + scored.plan + " has changed, SHA-256"));
        CHECK(std::count(result.out.begin(), result.out.end(), '\n') == 3);  // the numbers are those of the plan in the result
    }
    SUBCASE("the plan in the result") {
        scored.folder.write("monday.json", replaced(text, R"("seconds": 6.0)", R"("seconds": 5.0)"));
        const ProgramResult result = run_program({"verify", scored.result});
        CHECK(result.status == 1);
        CHECK(holds(result.out, "/plan/steps/1/seconds: the result says 5.0, now it is 6.0"));
    }
    SUBCASE("a field that is missing or new") {
        scored.folder.write("monday.json", replaced(text, R"("planned")", R"("planted": 1, "planned")"));
        const ProgramResult result = run_program({"verify", scored.result});
        CHECK(result.status == 1);
        CHECK(holds(result.out, "/session/planted: the result says 1, now it is nothing"));
    }
    SUBCASE("a recording or plan that is not there") {
        fs::remove(scored.recording);
        fs::remove(scored.plan);
        const ProgramResult result = run_program({"verify", scored.result});
        CHECK(result.status == 1);
        CHECK(holds(result.out, "no such file"));
        CHECK(holds(result.out, "--plan FILE says where it is"));
    }
}

TEST_CASE("a recording whose name a result cannot hold is found again") {
    const TemporaryFolder folder;
    const std::string recording = folder.write("in/caf\xE9.csv", amplitudes(1, "P-201")), result = folder.path("r.json");
    folder.write("in/caf.csv", amplitudes(3, "P-202"));  // another one
    REQUIRE(run_program({"score", recording, "--format", "json", "--out", result, "--quiet"}).status == 0);
    CHECK(run_program({"verify", result}).status == 0);
    CHECK(run_program({"verify", result, "--recordings", folder.path("in")}).status == 0);
    folder.write("in/caf\xE9.csv", amplitudes(2, "P-201"));
    for (const ProgramResult& changed : {run_program({"verify", result}), run_program({"verify", result, "--recordings", folder.path("in")})}) {
        CHECK(changed.status == 1);
        CHECK(holds(changed.out, "caf\\xE9.csv has changed, SHA-256"));
    }
    fs::remove(recording);
    CHECK(holds(run_program({"verify", result}).out, "no such file"));
}

TEST_CASE("a link that leads nowhere is missing and named") {
    const Scored scored;
    const TemporaryFolder folder;
    fs::create_directory(folder.path("in"));
    fs::copy_file(scored.recording, folder.path("in/monday.csv"));
    fs::copy_file(scored.result, folder.path("in/monday.json"));
    const auto calls = {std::vector<std::string>{"score", folder.path("in"), "--quiet"}, {"course", folder.path("in"), "--quiet"},
                        {"audit", folder.path("in"), "--quiet"}, {"verify", folder.path("in"), "--quiet"},
                        {"verify", scored.result, "--recordings", folder.path("in"), "--quiet"}};
    for (const auto& call : calls) {
        INFO(call[0]);
        CHECK(run_program(call).status == 0);
    }
    for (const char* name : {"in/gone.csv", "in/gone.json", "in/readme"}) fs::create_symlink("nowhere", folder.path(name));
    for (const auto& call : calls) {
        INFO(call[0], call.size());
        const ProgramResult result = run_program(call);
        CHECK(result.status == 1);
        const std::string said = result.out + result.err;
        CHECK(holds(said, call.size() > 3 || call[0] == "score" ? "in/gone.csv" : "in/gone.json"));
        CHECK(holds(said, "no such file where the link leads"));
        CHECK_FALSE(holds(said, "readme"));
    }
}

TEST_CASE("what may be a recording and is passed over in a folder is told") {
    const TemporaryFolder folder;
    folder.write("in/a.csv", amplitudes(1));
    folder.write("in/a.csv.html", "a page");
    const std::vector<std::string> call = {"score", folder.path("in"), "--format", "ndjson"};
    CHECK_FALSE(holds(run_program(call).err, "passed over"));
    folder.write("elsewhere/b.csv", amplitudes(2));
    fs::create_directory_symlink(folder.path("elsewhere"), folder.path("in/link"));
    for (const char* name : {"in/b.csv.gz", "in/c.edf.part", "in/d", "in/e.part"}) folder.write(name, "x");
    const ProgramResult all = run_program(call);
    CHECK(all.status == 0);
    CHECK(holds(all.err, folder.path("in") + ": 5 files of other kinds passed over: 1 link to a folder, 1 .gz, 2 .part, 1 without an ending"));
}

TEST_CASE("recordings without a result are counted where both are looked at") {
    const Scored scored;
    const TemporaryFolder folder;
    fs::create_directory(folder.path("in"));
    fs::copy_file(scored.recording, folder.path("in/monday.csv"));
    const std::vector<std::string> call = {"verify", scored.result, "--recordings", folder.path("in")};
    CHECK_FALSE(holds(run_program(call).err, "no result"));
    fs::copy_file(scored.recording, folder.path("in/copy.csv"));  // the same bytes: the same recording
    CHECK_FALSE(holds(run_program(call).err, "no result"));
    folder.write("in/tuesday.csv", amplitudes(2, "P-201"));
    const ProgramResult one = run_program(call);
    CHECK(one.status == 0);
    CHECK(holds(one.err, "1 recording there has no result here"));
    folder.write("in/friday.csv", amplitudes(3, "P-201"));
    CHECK(holds(run_program(call).err, "2 recordings there have no result here"));
}

TEST_CASE("a recording whose result is damaged is not one without a result") {
    const Scored scored;
    const TemporaryFolder folder;
    fs::create_directory(folder.path("in"));
    fs::copy_file(scored.recording, folder.path("in/monday.csv"));
    const std::string whole = file_bytes(scored.result), doubled = replaced(whole, "\"tool\"", "\"tools\"");
    const std::vector<std::pair<std::string, std::string>> known_by_hash_or_name = {
        {"renamed.json", doubled}, {"monday.csv.json", "{"}, {"monday.csv.ndjson", ""}};
    for (const auto& [name, text] : known_by_hash_or_name) {
        INFO(name);
        const std::string damaged = folder.write(name, text);
        const ProgramResult verified = run_program({"verify", damaged, "--recordings", folder.path("in")});
        CHECK(verified.status == 1);
        CHECK(holds(verified.out, "0 of 1 results verified"));
        CHECK_FALSE(holds(verified.err, "no result here"));
    }
    const std::string other = folder.write("other.json", "{");  // of nobody knows what
    CHECK(holds(run_program({"verify", other, "--recordings", folder.path("in")}).err, "1 recording there has no result here"));
}

TEST_CASE("recordings that moved are found by their bytes and a tolerance is only there when asked for") {
    const Scored scored;
    const std::string text = file_bytes(scored.result);
    fs::create_directory(scored.folder.path("archive"));
    fs::rename(scored.recording, scored.folder.path("archive/0001.csv"));
    CHECK(run_program({"verify", scored.result, "--recordings", scored.folder.path("archive")}).status == 0);
    CHECK(run_program({"verify", scored.result}).status == 1);
    const double mean = nlohmann::json::parse(text)["session"]["measures"]["work_mean_uv"]["mean"];
    const std::string written = nlohmann::json(mean).dump();
    scored.folder.write("monday.json", replaced(text, "\"mean\": " + written, "\"mean\": " + nlohmann::json(mean * 1.0001).dump()));
    const std::vector<std::string> call = {"verify", scored.result, "--recordings", scored.folder.path("archive")};
    CHECK(run_program(call).status == 1);
    std::vector<std::string> tolerant = call;
    tolerant.insert(tolerant.end(), {"--tolerance", "0.001"});
    CHECK(run_program(tolerant).status == 0);
    tolerant.back() = "nan";
    CHECK(run_program(tolerant).status == 2);
}

TEST_CASE("what the sessions list and the options said is in the result and used again") {
    const TemporaryFolder folder;
    std::string bare = amplitudes(3);
    bare = replaced(bare, "emg_uV", "emg");
    const std::string recording = folder.write("in/a.csv", bare);
    const std::string list = folder.write("list.csv", "file,person,start,posture,site\na.csv,P-300,2026-03-02 08:00,sitting,north\n");
    const std::string corrections =
        folder.write("c.csv", "file,action,cycle,from_s,to_s,who,when,why\na.csv,drop_cycle,2,,,K-1,2026-03-05,cough\n");
    const ProgramResult made = run_program({"score", recording, "--sessions", list, "--corrections", corrections, "--unit", "uV", "--kind", "envelope", "--channel", "1",
                                            "--format", "json", "--quiet", "--out", folder.path("a.json")});
    REQUIRE(made.status == 0);
    const auto given = nlohmann::json::parse(file_bytes(folder.path("a.json")))["tool"]["settings"]["given"];
    CHECK(given["unit"] == "uV");
    CHECK(given["kind"] == "envelope");
    CHECK(given["channel"] == "1");
    CHECK(given["by_sessions_list"] == nlohmann::json({"person", "start", "posture"}));
    CHECK(given["corrections_sha256"].get<std::string>().size() == 64);
    const ProgramResult alone = run_program({"verify", folder.path("a.json")});
    CHECK(alone.status == 1);
    CHECK(holds(alone.out, "which was not compared:\n    person, start, posture, site, from a sessions list (--sessions FILE compares them)\n    corrections (--corrections FILE compares them)\n"
                           "0 of 1 results verified, 1 more but for a list that was not given (--corrections FILE, --sessions FILE)\n"));
    const ProgramResult corrected = run_program({"verify", folder.path("a.json"), "--corrections", corrections});
    CHECK(corrected.status == 1);
    CHECK_FALSE(holds(corrected.out, "--corrections FILE"));
    CHECK(holds(corrected.out, "\n0 of 1 results verified, 1 more but for a list that was not given (--sessions FILE)\n"));
    const ProgramResult listed = run_program({"verify", folder.path("a.json"), "--sessions", list, "--corrections", corrections});
    CHECK(listed.status == 0);
    CHECK_FALSE(holds(listed.out, "not compared"));
    CHECK(holds(listed.out, "\n1 of 1 results verified\n"));
    for (const auto& [here, other] : {std::pair("P-300", "P-301"), std::pair("north", "south"), std::pair("sitting", "standing")}) {
        const std::string edited = folder.write("edited.json", replaced(file_bytes(folder.path("a.json")), fmt::format("\"{}\"", here), fmt::format("\"{}\"", other)));
        const ProgramResult found = run_program({"verify", edited, "--sessions", list});
        CHECK(found.status == 1);
        CHECK(holds(found.out, fmt::format("the result says \"{}\", now it is \"{}\"", other, here)));
    }
    const std::string others = folder.write("others.csv", "file,person\nb.csv,P-300\n");
    CHECK(holds(run_program({"verify", folder.path("a.json"), "--sessions", others}).out, "/recording/person: the result says \"P-300\", now it is null"));
    folder.write("c.csv", file_bytes(corrections) + "\n");
    const ProgramResult changed = run_program({"verify", folder.path("a.json"), "--corrections", corrections});
    CHECK(changed.status == 1);
    CHECK(holds(changed.out, "the corrections have changed, SHA-256"));
}

TEST_CASE("corrections are compared with the list that is given") {
    const TemporaryFolder folder;
    const std::string recording = folder.write("in/a.csv", amplitudes(3, "P-300")), result = folder.path("a.json");
    const std::string heading = "file,action,cycle,from_s,to_s,who,when,why\n";
    const std::string list = folder.write("c.csv", heading + "a.csv,drop_cycle,2,,,K-1,2026-03-05,cough\n");
    const std::vector<std::string> score = {"score", recording, "--format", "json", "--quiet", "--out", result};
    const auto with = [](std::vector<std::string> words, const std::string& corrections) {
        words.insert(words.end(), {"--corrections", corrections});
        return run_program(words);
    };
    REQUIRE(with(score, list).status == 0);
    const std::vector<std::string> verify = {"verify", result};
    REQUIRE(with(verify, list).status == 0);

    SUBCASE("a reason that was changed, and the hash left out") {
        nlohmann::ordered_json edited = nlohmann::ordered_json::parse(file_bytes(result));
        edited["corrections"][0]["why"] = "artefact";
        folder.write("a.json", edited.dump());
        const ProgramResult reason = with(verify, list);
        CHECK(reason.status == 1);
        CHECK(holds(reason.out, "/corrections/0/why: the result says \"artefact\", now it is \"cough\""));
        edited["tool"]["settings"]["given"]["corrections_sha256"] = nullptr;
        folder.write("a.json", edited.dump());
        CHECK(holds(with(verify, list).out, "/corrections/0/why: the result says"));
        const ProgramResult alone = run_program(verify);
        CHECK(alone.status == 1);
        CHECK(holds(alone.out, "/tool/settings/given/corrections_sha256: the result says null, and has corrections"));
    }
    SUBCASE("a result without them, of a recording that the list names") {
        REQUIRE(run_program(score).status == 0);
        CHECK(run_program(verify).status == 0);
        const ProgramResult listed = with(verify, list);
        CHECK(listed.status == 1);
        CHECK(holds(listed.out, "/tool/settings/given/corrections_sha256: the result says null, now it is "));
        const std::string other = folder.write("other.csv", heading + "b.csv,drop_cycle,2,,,K-1,2026-03-05,cough\n");
        CHECK(with(verify, other).status == 0);
    }
    SUBCASE("a row that is gone") {
        folder.write("c.csv", heading);
        const ProgramResult gone = with(verify, list);
        CHECK(gone.status == 1);
        CHECK(holds(gone.out, "/corrections/0: the result says an object, now it is nothing"));
    }
}

TEST_CASE("what is noted of many recordings is said of the first, with how often it came again") {
    const TemporaryFolder folder;
    for (int i = 0; i < 4; ++i) folder.write(fmt::format("in/{}.csv", i), amplitudes(i));
    const std::string said = run_program({"score", folder.path("in"), "--format", "ndjson"}).err;
    const std::string text = "was read as an envelope";
    const std::size_t first = said.find(text), again = said.find(text, first + 1);
    REQUIRE(again != std::string::npos);
    CHECK(said.find(text, again + 1) == std::string::npos);
    CHECK(holds(said, folder.path("in/0.csv") + ": the same was found 3 more times: "));
    CHECK_FALSE(holds(run_program({"score", folder.path("in/0.csv"), "--format", "ndjson"}).err, "found"));
}

TEST_CASE("what is no result on standard input is told as none") {
    for (const char* text : {R"({"a": 1})", "hello", "%PDF-1.4", ""}) {
        const ProgramResult result = run_program({"verify", "-"}, text);
        CHECK(result.status == 1);
        CHECK(holds(result.out, "no result"));
        CHECK_FALSE(holds(result.out, "not a recording"));
    }
}

TEST_CASE("the parts of a shard are the whole and no person is in two of them") {
    const TemporaryFolder folder;
    for (int i = 0; i < 12; ++i) folder.write("in/r" + std::to_string(i) + ".csv", amplitudes(i % 3, "P-" + std::to_string(400 + i / 2)));
    folder.write("in/nobody.csv", amplitudes(1));
    folder.write("in/broken.csv", "no recording");
    std::multiset<std::string> sources;
    std::map<std::string, std::set<int>> parts_of;
    int refusals = 0;
    for (int part = 1; part <= 3; ++part) {
        const ProgramResult result = run_program({"score", folder.path("in"), "--shard", std::to_string(part) + "/3", "--format", "ndjson", "--quiet"});
        refusals += result.status;
        CHECK(holds(result.err, "broken.csv") == (result.status == 1));
        std::istringstream lines(result.out);
        for (std::string line; std::getline(lines, line);) {
            const auto recording = nlohmann::json::parse(line)["recording"];
            sources.insert(recording["source"].get<std::string>());
            if (recording["person"].is_string()) parts_of[recording["person"]].insert(part);
        }
    }
    CHECK(refusals == 1);
    CHECK(sources.size() == 13);
    CHECK(std::set<std::string>(sources.begin(), sources.end()).size() == 13);
    CHECK(parts_of.size() == 6);
    for (const auto& [person, parts] : parts_of) CHECK(parts.size() == 1);
    for (const char* wrong : {"0/3", "4/3", "1", "1/0", "a/b", "1/3/5", "", "-1/3"}) {
        CHECK(run_program({"score", folder.path("in"), "--shard", wrong}).status == 2);
    }
}

namespace {

// A folder with two recordings, and one of them under another name.
struct WithCopy {
    TemporaryFolder folder;
    std::string first = folder.write("in/a.csv", amplitudes(1, "P-301")), other = folder.write("in/b.csv", amplitudes(2, "P-302")),
                copy = folder.write("in/c.csv", amplitudes(1, "P-301"));
    std::string key = folder.path("clinic.key");
    WithCopy() { REQUIRE(run_program({"key", "new", key}).status == 0); }

    std::map<std::string, std::string> results(const std::string& name) const {
        std::map<std::string, std::string> found;
        for (const auto& entry : fs::directory_iterator(folder.path(name))) {
            if (entry.path().extension() == ".json") found[entry.path().filename().string()] = file_bytes(entry.path().string());
        }
        return found;
    }
};

}  // namespace

TEST_CASE("a copy of a recording is scored once under hidden names and named") {
    const WithCopy with;
    for (const std::string level : {"pseudonym", "anonymous"}) {
        CAPTURE(level);
        const auto call = [&](const std::vector<std::string>& inputs, const std::string& out, const std::vector<std::string>& more = {}) {
            std::vector<std::string> words{"score", "--identity", level, "--format", "json", "--out", with.folder.path(out)};
            if (level == "pseudonym") words.insert(words.end(), {"--key-file", with.key});
            words.insert(words.end(), inputs.begin(), inputs.end());
            words.insert(words.end(), more.begin(), more.end());
            return run_program(words);
        };
        const std::string all = level + "/", turned = level + "-turned/";
        const ProgramResult dry = call({with.folder.path("in")}, all, {"--dry-run"});
        const ProgramResult result = call({with.folder.path("in")}, all);
        for (const ProgramResult& each : {dry, result}) {
            CHECK(each.status == 0);
            CHECK(holds(each.err, "tracehold: note: input 3: a copy of input 1: scored once\n"));
        }
        CHECK(holds(dry.out, "2 of 3 recordings would be scored, 1 is a copy of another; whether their signals can be, scoring tells\n"));
        CHECK(with.results(all).size() == 2);
        CHECK(call({with.copy, with.other, with.first}, turned).status == 0);
        CHECK(with.results(turned) == with.results(all));
        if (level == "anonymous") continue;
        const auto before = with.results(all);
        const ProgramResult resumed = call({with.folder.path("in")}, all, {"--resume"});
        CHECK(resumed.status == 0);
        CHECK(holds(resumed.err, "input 3: a copy of input 1"));
        CHECK(with.results(all) == before);
        for (const char* part : {"1/2", "2/2"}) CHECK(call({with.folder.path("in")}, "parts/", {"--shard", part}).status == 0);
        CHECK(with.results("parts/") == before);
    }
    const ProgramResult kept = run_program({"score", with.folder.path("in"), "--format", "ndjson"});
    CHECK(std::count(kept.out.begin(), kept.out.end(), '\n') == 3);  // each name has its result
    CHECK(holds(kept.err, with.copy + ": a copy of " + with.first + "; courses and audits count it once\n"));
}

TEST_CASE("what a sessions list tells apart is no copy and costs no other recording its result") {
    const WithCopy with;
    const std::string list = with.folder.write("list.csv", "file,person\nc.csv,P-309\n");
    for (const bool dry : {true, false}) {
        CAPTURE(dry);
        std::vector<std::string> words{"score", with.folder.path("in"), "--sessions", list, "--identity", "pseudonym", "--key-file", with.key,
                                       "--format", "json", "--out", with.folder.path("out/")};
        if (dry) words.emplace_back("--dry-run");
        const ProgramResult result = run_program(words);
        CHECK(result.status == 1);
        CHECK(holds(result.err, "tracehold: error: input 1: holds the same bytes as input 3, of which the sessions list or the corrections say something else\n"));
        CHECK(holds(result.err, "tracehold: error: input 3: holds the same bytes as input 1, of which"));
        CHECK(!holds(result.err, "P-30"));
        if (dry) CHECK(holds(result.out, "1 of 3 recordings would be scored; whether"));
    }
    CHECK(with.results("out").size() == 1);
    // What comes through a pipe is known when it is read.
    const ProgramResult piped = run_program({"score", "-", with.folder.path("in"), "--identity", "pseudonym", "--key-file", with.key, "--format", "json", "--out", with.folder.path("piped/")},
                                            file_bytes(with.first));
    CHECK(piped.status == 1);
    CHECK(holds(piped.err, "tracehold: error: input 2: its result would be written to the same file as that of standard input\n"));
    CHECK(with.results("piped").size() == 2);
}

TEST_CASE("a list that names no folder speaks of no one where several are called so") {
    const TemporaryFolder folder;
    folder.write("in/P-301/morning.csv", amplitudes(1, "P-301"));
    folder.write("in/P-302/morning.csv", amplitudes(2, "P-302"));
    folder.write("in/P-302/evening.csv", amplitudes(3, "P-302"));
    const auto corrections = [&](const std::string& file) {
        return folder.write("c.csv", "file,action,cycle,from_s,to_s,who,when,why\n" + file + ",drop_cycle,2,,,K-1,2026-03-09,cough\n");
    };
    const auto call = [&](std::vector<std::string> words, const std::vector<std::string>& more) {
        words.insert(words.end(), more.begin(), more.end());
        return run_program(words);
    };
    const std::vector<std::string> score{"score", folder.path("in"), "--format", "ndjson", "--quiet"};
    const auto corrected = [](const ProgramResult& result) {
        std::map<std::string, std::size_t> found;
        std::istringstream lines(result.out);
        for (std::string line; std::getline(lines, line);) {
            const auto parsed = nlohmann::json::parse(line);
            found[parsed["recording"]["source"]] = parsed["corrections"].size();
        }
        return found;
    };
    const std::string first = folder.path("in/P-301/morning.csv"), second = folder.path("in/P-302/morning.csv"), third = folder.path("in/P-302/evening.csv");
    const ProgramResult unsure = call(score, {"--corrections", corrections("morning.csv")});
    CHECK(unsure.status == 1);
    CHECK(corrected(unsure) == std::map<std::string, std::size_t>{{third, 0}});
    for (const std::string& path : {first, second})
        CHECK(holds(unsure.err, "tracehold: error: " + path + ": the corrections speak of 'morning.csv', and several recordings of this call are called so\nhint: write the folder before the name in the list\n"));
    const ProgramResult sure = call(score, {"--corrections", corrections("P-301/morning.csv")});
    CHECK(sure.status == 0);
    CHECK(corrected(sure) == std::map<std::string, std::size_t>{{first, 1}, {second, 0}, {third, 0}});
    CHECK(corrected(call({"score", first, "--format", "ndjson", "--quiet"}, {"--corrections", corrections("morning.csv")})) == std::map<std::string, std::size_t>{{first, 1}});

    const std::string results = folder.write("in.ndjson", call(score, {}).out);
    const std::string list = folder.write("list.csv", "file,person\nmorning.csv,P-309\n");
    for (const std::vector<std::string>& words :
         {score, {"score", folder.path("in"), "--dry-run"}, {"course", folder.path("in"), "--person", "P-302"}, {"audit", folder.path("in")}, {"audit", results}}) {
        CAPTURE(words[1]);
        const ProgramResult result = call(words, {"--sessions", list});
        CHECK(result.status == 1);
        CHECK(holds(result.err, second + ": the sessions list speaks of 'morning.csv', and "));
        CHECK_FALSE(holds(result.out, "P-309\""));
    }
    folder.write("in/P-302/morning.csv", amplitudes(1, "P-301"));  // a copy
    const ProgramResult copies = call(score, {"--sessions", list});
    CHECK(copies.status == 0);
    CHECK(corrected(copies).size() == 2);  // one of the copies and the other
}

TEST_CASE("inputs come from a list of lines or of names ended by NUL") {
    const TemporaryFolder folder;
    const std::string a = folder.write("a.csv", amplitudes(1)), b = folder.write("b b.csv", amplitudes(2));
    const std::string lines = folder.write("list.txt", a + "\r\n\n" + b);
    const ProgramResult named = run_program({"score", a, b, "--format", "ndjson", "--quiet"});
    CHECK(run_program({"score", "--files-from", lines, "--format", "ndjson", "--quiet"}).out == named.out);
    const std::string zeros = a + std::string(1, '\0') + b + std::string(1, '\0');
    CHECK(run_program({"score", "--files-from", "-", "--format", "ndjson", "--quiet"}, zeros).out == named.out);
    CHECK(run_program({"score", a, "--files-from", lines, "--format", "ndjson", "--quiet"}).out == named.out);  // each once
    const ProgramResult twice = run_program({"score", "-", "--files-from", "-"}, zeros);
    CHECK(twice.status == 2);
    CHECK(holds(twice.err, "standard input cannot be both"));
    CHECK(run_program({"score"}).status == 2);
    CHECK(run_program({"score", "--files-from", folder.path("none")}).status == 1);
}

TEST_CASE("a name as long as the file system allows costs no result and two of them stay apart") {
    const TemporaryFolder folder;
    const std::string begin(240, 'n');
    const std::string a = folder.write(begin + "-a.csv", amplitudes(1)), b = folder.write(begin + "-b.csv", amplitudes(2));
    const std::string plain = folder.write("plain.csv", amplitudes(3));
    std::string accents;
    for (int i = 0; i < 123; ++i) accents += "\xC3\xA9";  // two bytes each: the cut falls within one for one of the two
    const std::string even = folder.write(accents + ".csv", amplitudes(4)), odd = folder.write("x" + accents + ".csv", amplitudes(5));
    const std::vector<std::string> words{"score", a, b, plain, even, odd, "--format", "json", "--format", "html", "--out", folder.path("r/"), "--quiet"};
    std::vector<std::string> dry = words;
    dry.insert(dry.end(), "--dry-run");
    const ProgramResult told = run_program(dry);
    CHECK(told.status == 0);
    REQUIRE(run_program(words).status == 0);
    std::set<std::string> sources;
    std::size_t results = 0;
    for (const auto& entry : fs::directory_iterator(folder.path("r"))) {
        const std::string name = entry.path().filename().string();
        CHECK(holds(told.out, name + "\n"));
        if (!name.ends_with(".json")) continue;
        ++results;
        // Throws where the name was cut within a character.
        CHECK_NOTHROW((void)nlohmann::json(name).dump());
        sources.insert(nlohmann::json::parse(file_bytes(entry.path().string()))["recording"]["source"].get<std::string>());
    }
    CHECK(results == 5);
    CHECK(sources.size() == 5);
    CHECK(fs::exists(folder.path("r/plain.csv.json")));
    std::vector<std::string> again = words;
    again.insert(again.end(), "--resume");
    CHECK(run_program(again).status == 0);
    CHECK(run_program({"export", a, "--format", "csv", "--format", "edf", "--out", folder.path("e/"), "--quiet"}).status == 0);
}

TEST_CASE("resuming needs a folder and results in JSON") {
    const TemporaryFolder folder;
    const std::string a = folder.write("a.csv", amplitudes(1));
    CHECK(holds(run_program({"score", a, "--resume", "--format", "json"}).err, "only results in a folder can be resumed"));
    CHECK(holds(run_program({"score", a, "--resume", "--out", folder.path("r/"), "--format", "html"}).err, "add --format json"));
}

TEST_CASE("a resumed run keeps what is the same and scores again what has changed") {
    const TemporaryFolder folder;
    const std::string a = folder.write("in/a.csv", amplitudes(1, "P-1"));
    folder.write("in/b.csv", amplitudes(2, "P-1"));
    const std::vector<std::string> call = {"score", folder.path("in"), "--format", "json", "--out", folder.path("r/"), "--quiet", "--resume"};
    const auto run = [&](std::vector<std::string> more) {
        std::vector<std::string> words = call;
        words.insert(words.end(), more.begin(), more.end());
        CHECK(run_program(words).status == 0);
    };
    // A number that scoring would not give marks a result, and its checksum with it: is it still there after a resumed run?
    const auto change = [&] {
        const std::string text = file_bytes(folder.path("r/a.csv.json"));
        const auto parsed = nlohmann::json::parse(text);
        const std::string found = "\"noise_floor_uv\": " + parsed["quality"]["noise_floor_uv"].dump();
        return replaced(text, found, "\"noise_floor_uv\": 1.25");
    };
    const auto mark = [&] {
        const std::string text = change();
        folder.write("r/a.csv.json", text);
        folder.write("r/a.csv.sha256", tracehold::sha256_hex(text) + "  a.csv.json\n");
    };
    const auto is_marked = [&] { return holds(file_bytes(folder.path("r/a.csv.json")), "\"noise_floor_uv\": 1.25"); };
    run({});
    folder.write("r/a.csv.json", change());
    run({});
    CHECK_FALSE(is_marked());  // whole JSON, but not as it was written
    mark();
    run({});
    CHECK(is_marked());
    fs::remove(folder.path("r/a.csv.sha256"));
    run({});
    CHECK_FALSE(is_marked());
    mark();
    run({"--subtract-noise"});
    CHECK_FALSE(is_marked());
    mark();
    run({"--subtract-noise", "--sessions", folder.write("list.csv", "file,person\na.csv,P-2\n")});
    CHECK_FALSE(is_marked());
    mark();
    run({"--subtract-noise"});
    CHECK_FALSE(is_marked());
    mark();
    folder.write("in/a.csv", amplitudes(4, "P-1"));
    run({"--subtract-noise"});
    CHECK_FALSE(is_marked());
    const std::string corrections =
        folder.write("c.csv", "file,action,cycle,from_s,to_s,who,when,why\nb.csv,drop_cycle,2,,,K-1,2026-03-05,cough\n");
    mark();
    run({"--subtract-noise", "--corrections", corrections});
    CHECK(is_marked());  // they are about the other recording
}

TEST_CASE("a resumed run makes a page for other paper and a bundle of another shape anew") {
    const TemporaryFolder folder;
    const std::string a = folder.write("a.csv", amplitudes(1, "P-1")), out = folder.path("r/");
    const auto run = [&](std::vector<std::string> more) {
        more.insert(more.end(), {"score", a, "--format", "json", "--format", "html", "--format", "fhir", "--out", out, "--quiet", "--resume"});
        std::rotate(more.begin(), std::find(more.begin(), more.end(), "score"), more.end());
        CHECK(run_program(more).status == 0);
        return file_bytes(out + "a.csv.html");
    };
    const std::string a4 = run({}), letter = run({"--paper", "letter"});
    CHECK(holds(a4, "@page{size:A4;"));
    CHECK(holds(letter, "@page{size:letter;"));
    CHECK(run({}) == a4);
    CHECK(holds(file_bytes(out + "a.csv.fhir.json"), "\"type\":\"collection\""));
    run({"--fhir-as", "transaction"});
    CHECK(holds(file_bytes(out + "a.csv.fhir.json"), "\"type\":\"transaction\""));
    const auto made = fs::last_write_time(out + "a.csv.html");
    run({"--fhir-as", "transaction"});
    CHECK(fs::last_write_time(out + "a.csv.html") == made);  // what is the same stays
}

TEST_CASE("the result of another person or day under the same name is not replaced") {
    const TemporaryFolder folder;
    const auto score = [&](const std::string& text) {
        folder.write("in/monday.csv", text);
        return run_program({"score", folder.path("in"), "--format", "json", "--format", "md", "--out", folder.path("r/"), "--quiet"});
    };
    const std::string first = "# start: 2026-03-02T07:40:00\n" + amplitudes(1, "P-1");
    CHECK(score(first).status == 0);
    const std::string kept = file_bytes(folder.path("r/monday.csv.json")), page = file_bytes(folder.path("r/monday.csv.md"));
    for (const std::string& other : {replaced(first, "P-1", "P-2"), replaced(first, "03-02", "03-09"), replaced(first, "T07", "T19")}) {
        const ProgramResult result = score(other);
        CHECK(result.status == 1);
        CHECK(holds(result.err, "monday.csv.json: holds the result of another recording of the same name: saw P-1, 2026-03-02T07:40:00, and this one is P-"));
        CHECK(file_bytes(folder.path("r/monday.csv.json")) == kept);
        CHECK(file_bytes(folder.path("r/monday.csv.md")) == page);
        const ProgramResult dry = run_program({"score", folder.path("in"), "--format", "json", "--out", folder.path("r/"), "--dry-run"});
        CHECK(dry.status == 1);
        CHECK(holds(dry.err, "monday.csv.json: holds the result of another recording of the same name"));
        CHECK(dry.out == "0 of 1 recordings would be scored\n");
    }
    CHECK(score("# start: 2026-03-02T07:45:00\n" + amplitudes(2, "P-1")).status == 0);  // mended
    CHECK(file_bytes(folder.path("r/monday.csv.json")) != kept);
}

TEST_CASE("a page of another person does not come beside a result and checksums stay true") {
    const TemporaryFolder folder;
    const auto score = [&](const std::string& text, const std::vector<std::string>& formats) {
        folder.write("in/monday.csv", text);
        std::vector<std::string> words{"score", folder.path("in"), "--out", folder.path("r/"), "--quiet"};
        for (const std::string& format : formats) words.insert(words.end(), {"--format", format});
        return run_program(words);
    };
    const auto checked = [&] {  // as sha256sum does
        std::size_t lines = 0;
        std::istringstream text(file_bytes(folder.path("r/monday.csv.sha256")));
        for (std::string hash, name; text >> hash >> name; ++lines) CHECK(tracehold::sha256_hex(file_bytes(folder.path("r/" + name))) == hash);
        return lines;
    };
    const std::string first = "# start: 2026-03-02T07:40:00\n" + amplitudes(1, "P-1"), mended = "# start: 2026-03-02T07:45:00\n" + amplitudes(2, "P-1");
    CHECK(score(first, {"json", "md"}).status == 0);
    CHECK(checked() == 2);
    const std::string page = file_bytes(folder.path("r/monday.csv.md"));
    const ProgramResult other = score(replaced(first, "P-1", "P-2"), {"md"});
    CHECK(other.status == 1);
    CHECK(holds(other.err, "monday.csv.json: holds the result of another recording of the same name"));
    CHECK(file_bytes(folder.path("r/monday.csv.md")) == page);
    CHECK(score(mended, {"md"}).status == 0);
    CHECK(file_bytes(folder.path("r/monday.csv.md")) != page);
    CHECK(checked() == 2);
    CHECK(score(mended, {"csv", "txt"}).status == 2);
    CHECK(score(mended, {"csv", "text"}).status == 0);
    CHECK(checked() == 4);
    fs::remove(folder.path("r/monday.csv.md"));
    CHECK(score(mended, {"csv"}).status == 0);
    CHECK(checked() == 3);
}

TEST_CASE("a pipe where a result goes is refused by name and the others go on") {
    const TemporaryFolder folder;
    folder.write("in/monday.csv", amplitudes(1, "P-1"));
    folder.write("in/tuesday.csv", amplitudes(2, "P-1"));
    fs::create_directories(folder.path("r"));
    REQUIRE(::mkfifo(folder.path("r/monday.csv.html").c_str(), 0600) == 0);
    const ProgramResult result = run_program({"score", folder.path("in"), "--format", "json", "--format", "html", "--out", folder.path("r/")});
    CHECK(result.status == 1);
    CHECK(holds(result.err, "monday.csv.html: something else than a file stands where a result goes"));
    CHECK_FALSE(fs::exists(folder.path("r/monday.csv.json")));
    CHECK(fs::exists(folder.path("r/tuesday.csv.html")));
}

TEST_CASE("one signal ends a call that waits for standard input") {
    const TemporaryFolder folder;
    REQUIRE(::mkfifo(folder.path("in").c_str(), 0600) == 0);
    const int silent = ::open(folder.path("in").c_str(), O_RDWR | O_CLOEXEC);  // a writer that writes nothing
    REQUIRE(silent >= 0);
    for (const char* command : {"score", "inspect", "course", "audit", "verify"}) {
        CAPTURE(command);
        const std::string line = fmt::format("timeout --preserve-status -s TERM -k 15 0.5 \"$TRACEHOLD_BINARY\" {} - < '{}' > '{}' 2>&1; echo $? > '{}'", command,
                                             folder.path("in"), folder.path("told"), folder.path("status"));
        REQUIRE(std::system(line.c_str()) == 0);
        CHECK(file_bytes(folder.path("status")) == "143\n");  // ended by SIGTERM; killed it would be 137
    }
    ::close(silent);
}

TEST_CASE("checksums of a name with a line break are those of sha256sum and are known again") {
    const TemporaryFolder folder;
    folder.write("in/mon\nd\\ay.csv", amplitudes(1, "P-1"));
    const auto score = [&] { return run_program({"score", folder.path("in"), "--format", "json", "--format", "md", "--resume", "--out", folder.path("r/")}); };
    CHECK(score().status == 0);
    const std::string receipt = file_bytes(folder.path("r/mon\nd\\ay.csv.sha256"));
    CHECK(receipt.starts_with("\\"));  // GNU coreutils manual, sha256sum: a backslash ahead of a line whose name is escaped
    CHECK(holds(receipt, "  mon\\nd\\\\ay.csv.json\n"));
    const auto written = fs::last_write_time(folder.path("r/mon\nd\\ay.csv.json"));
    CHECK(score().status == 0);
    CHECK(fs::last_write_time(folder.path("r/mon\nd\\ay.csv.json")) == written);
}

TEST_CASE("a result that this call wrote is not called one of an earlier run") {
    const TemporaryFolder folder;
    folder.write("in/one/monday.csv", amplitudes(1, "P-1"));
    folder.write("in/two/monday.csv", amplitudes(2, "P-2"));
    const auto score = [&] { return run_program({"score", folder.path("in"), "--format", "json", "--out", folder.path("r/")}); };
    const ProgramResult result = score();
    CHECK(result.status == 1);
    CHECK(holds(result.err, "its result would be written to the same file as that of "));
    CHECK_FALSE(holds(result.err, "an earlier run"));
}

TEST_CASE("a copy of the same name is scored once on standard output too") {
    const TemporaryFolder folder;
    const std::string first = folder.write("in/one/monday.csv", amplitudes(1, "P-1")), copy = folder.write("in/two/monday.csv", amplitudes(1, "P-1"));
    const ProgramResult result = run_program({"score", folder.path("in"), "--format", "ndjson"});
    CHECK(result.status == 0);
    CHECK(std::count(result.out.begin(), result.out.end(), '\n') == 1);
    CHECK(holds(result.err, copy + ": a copy of " + first + ": scored once\n"));
}

TEST_CASE("a recorder that numbers its files and names nobody loses no result") {
    const TemporaryFolder folder;
    const auto score = [&](int variant) {
        folder.write("in/REC001.csv", amplitudes(variant));
        return run_program({"score", folder.path("in"), "--format", "json", "--out", folder.path("r/"), "--quiet"});
    };
    CHECK(score(1).status == 0);
    CHECK(score(1).status == 0);
    const std::string kept = file_bytes(folder.path("r/REC001.csv.json"));
    const ProgramResult other = score(2);
    CHECK(other.status == 1);
    CHECK(holds(other.err, "holds the result of another recording of the same name: saw nobody named, no time, and this one is nobody named, no time\n"));
    CHECK(file_bytes(folder.path("r/REC001.csv.json")) == kept);
}

TEST_CASE("pages that no longer fit the result beside them are named") {
    const TemporaryFolder folder;
    const std::string a = folder.write("a.csv", amplitudes(1, "P-1")), out = folder.path("r/");
    const auto score = [&](std::vector<std::string> more) {
        std::vector<std::string> words{"score", a, "--format", "json", "--out", out};
        words.insert(words.end(), more.begin(), more.end());
        return run_program(words).err;
    };
    const std::string says = a + ": its result says something else than that of an earlier run, of which '" + out + "a.csv.html', '" + out + "a.csv.md' stay in the folder\n";
    CHECK(!holds(score({"--format", "html", "--format", "md"}), "says something else"));
    CHECK(!holds(score({}), "says something else"));
    CHECK(holds(score({"--subtract-noise"}), says));
    CHECK(!holds(score({"--subtract-noise"}), "says something else"));  // told once
    CHECK(!holds(score({"--format", "html", "--format", "md"}), "says something else"));
}

TEST_CASE("of two runs into one folder each recording's files are of one") {
    const TemporaryFolder folder;
    const std::string a = folder.write("a.csv", amplitudes(1)), out = folder.path("r/");
    fs::create_directory(out);
    const int descriptor = ::open(out.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    REQUIRE(::flock(descriptor, LOCK_EX) == 0);  // as the other run does while it writes
    auto run = std::async(std::launch::async, [&] { return run_program({"score", a, "--format", "json", "--format", "md", "--out", out, "--quiet"}); });
    struct stat place {};
    REQUIRE(::fstat(descriptor, &place) == 0);
    const std::string waits = fmt::format(":{} ", place.st_ino);
    const auto is_waiting = [&] {
        std::istringstream locks(file_bytes("/proc/locks"));
        for (std::string line; std::getline(locks, line);)
            if (holds(line, "->") && holds(line, waits)) return true;
        return false;
    };
    while (run.wait_for(std::chrono::milliseconds(10)) != std::future_status::ready && !is_waiting()) {}
    CHECK(is_waiting());
    CHECK(fs::is_empty(out));
    ::close(descriptor);
    CHECK(run.get().status == 0);
    CHECK(fs::exists(folder.path("r/a.csv.md")));
}

TEST_CASE("of two recordings of one name in different folders one is scored, and a copy is none the worse") {
    const TemporaryFolder folder;
    folder.write("in/a.csv", amplitudes(1));
    folder.write("in/b.csv", amplitudes(2));
    const std::string deeper = folder.write("in/old/a.csv", amplitudes(1));
    const auto score = [&] { return run_program({"score", folder.path("in"), "--format", "json", "--out", folder.path("r/")}); };
    const ProgramResult copied = score();
    CHECK(copied.status == 0);
    CHECK(holds(copied.err, deeper + ": a copy of " + folder.path("in/a.csv") + ": scored once\n"));
    folder.write("in/old/a.csv", amplitudes(3));
    const ProgramResult other = score();
    CHECK(other.status == 1);
    CHECK(holds(other.err, deeper + ": its result would be written to the same file as that of " + folder.path("in/a.csv") + "\n"));
    CHECK(nlohmann::json::parse(file_bytes(folder.path("r/a.csv.json")))["recording"]["source"] == folder.path("in/a.csv"));
    CHECK(fs::exists(folder.path("r/b.csv.json")));
}

TEST_CASE("an anonymous result is not replaced by one that may be of somebody else") {
    const TemporaryFolder folder;
    const auto score = [&](int variant) {
        folder.write("in/a.csv", amplitudes(variant, "P-1"));
        return run_program({"score", folder.path("in"), "--identity", "anonymous", "--format", "json", "--out", folder.path("r/"), "--quiet"});
    };
    CHECK(score(1).status == 0);
    CHECK(score(1).status == 0);
    const ProgramResult other = score(2);
    CHECK(other.status == 1);
    CHECK(holds(other.err, "holds another anonymous result"));
}

TEST_CASE("pages as text, tables and exports in a folder are no recordings") {
    const TemporaryFolder folder;
    folder.write("in/a.csv", amplitudes(1));
    const auto course = [&] { return run_program({"course", folder.path("in"), "--format", "json", "--quiet"}); };
    const ProgramResult before = course();
    CHECK(run_program({"score", folder.path("in"), "--format", "text", "--format", "md", "--out", folder.path("in/"), "--quiet"}).status == 0);
    REQUIRE(fs::exists(folder.path("in/a.csv.txt")));
    CHECK(course().err == before.err);
    const std::string a = folder.path("in/a.csv");
    for (const char* format : {"csv", "edf", "events", "bids"}) CHECK(run_program({"export", a, "--format", format, "--out", folder.path("in/"), "--quiet"}).status == 0);
    REQUIRE(fs::exists(folder.path("in/a.scored.edf")));
    CHECK(run_program({"score", a, "--format", "csv", "--out", folder.path("in/monday.csv"), "--quiet"}).status == 0);
    const ProgramResult after = course();
    CHECK(after.status == before.status);
    CHECK(after.out == before.out);
    folder.write("in/b.txt", amplitudes(2));
    CHECK(holds(run_program({"score", folder.path("in"), "--quiet"}).out, "2 recordings, 2 scored"));
}

TEST_CASE("a day without a time in a sessions list leaves a recording its own time") {
    const TemporaryFolder folder;
    folder.write("in/a.csv", "# start: 2026-03-04T07:45:00\n" + amplitudes(1, "P-1"));
    folder.write("in/b.csv", amplitudes(2, "P-1"));
    const std::string list = folder.write("list.csv", "file,start\na.csv,2026-03-04\nb.csv,2026-03-05\n");
    const ProgramResult scored = run_program({"score", folder.path("in"), "--sessions", list, "--format", "ndjson"});
    CHECK(holds(scored.out, "\"start\":\"2026-03-04T07:45:00\""));
    CHECK(holds(scored.out, "\"start\":\"2026-03-05T00:00:00\""));
    CHECK_FALSE(holds(scored.err, "a.csv: the sessions list"));
    CHECK(holds(scored.err, "b.csv: the sessions list names a day without a time: it was taken to begin at midnight"));
    const std::vector<std::string> call = {"score", folder.path("in"), "--sessions", list, "--format", "json", "--out", folder.path("r/"), "--quiet", "--resume"};
    CHECK(run_program(call).status == 0);
    const auto written = fs::last_write_time(folder.path("r/a.csv.json"));
    CHECK(run_program(call).status == 0);
    CHECK(fs::last_write_time(folder.path("r/a.csv.json")) == written);
}

TEST_CASE("a result that stays beside a recording that is refused now is told") {
    const TemporaryFolder folder;
    const auto score = [&](const std::string& text) {
        folder.write("in/a.csv", text);
        return run_program({"score", folder.path("in"), "--format", "json", "--out", folder.path("r/")});
    };
    const char* const told = "the result of an earlier run stays in the folder";
    CHECK_FALSE(holds(score("nothing").err, told));
    CHECK_FALSE(holds(score(amplitudes(1)).err, told));
    const ProgramResult refused = score("nothing");
    CHECK(refused.status == 1);
    CHECK(holds(refused.err, told));
}

TEST_CASE("a long batch says its progress in a log and nothing when quiet or short") {
    const TemporaryFolder folder;
    std::string list;
    for (int i = 0; i < 200; ++i) {
        const std::string name = "in/r" + std::to_string(i) + ".csv";
        list += i == 0 ? folder.write(name, amplitudes(1)) + "\n" : folder.path(name) + "\n";
        if (i > 0) fs::create_hard_link(folder.path("in/r0.csv"), folder.path(name));
    }
    const std::string names = folder.write("list.txt", list);
    const ProgramResult told = run_program({"inspect", "--files-from", names, "--format", "ndjson"});
    CHECK(told.status == 0);
    CHECK(std::count(told.err.begin(), told.err.end(), '\n') == 2);
    CHECK(holds(told.err, "tracehold: 100 of 200 recordings, "));
    CHECK(holds(told.err, " left\n"));
    CHECK(holds(told.err, "tracehold: 200 of 200 recordings, "));
    CHECK_FALSE(holds(told.err, "\r"));
    CHECK(run_program({"inspect", "--files-from", names, "--format", "ndjson", "--quiet"}).err.empty());
    CHECK(run_program({"inspect", folder.path("in/r1.csv"), folder.path("in/r2.csv"), "--format", "ndjson"}).err.empty());
}
