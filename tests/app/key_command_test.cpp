// The clinic's key: made once, for its owner alone, and never told.
#include <doctest/doctest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "support/run_program.hpp"
#include "tracehold/core/sha256.hpp"

using tracehold::test::holds;
using tracehold::test::ProgramResult;
using tracehold::test::run_program;

namespace {

namespace fs = std::filesystem;

struct Folder {
    fs::path path = fs::temp_directory_path() / ("tracehold-key-" + std::to_string(::getpid()));
    Folder() { fs::create_directories(path); }
    ~Folder() { fs::remove_all(path); }
    std::string file(const char* name) const { return (path / name).string(); }
};

std::string contents(const std::string& path) {
    std::ifstream in(path);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::string recording(const Folder& folder) {
    const std::string path = folder.file("a.csv");
    std::ofstream out(path);
    out << "# rate_hz: 1000\n# unit: uV\nemg_uV\n";
    for (int i = 0; i < 4000; ++i) out << (i * 7919 % 200) - 100 << "\n";
    return path;
}

}  // namespace

TEST_CASE("a new key is random and its owner's alone") {
    const Folder folder;
    const std::string first = folder.file("deep/one.key"), second = folder.file("two.key");
    for (const std::string& path : {first, second}) {
        const ProgramResult made = run_program({"key", "new", path});
        CHECK(made.status == 0);
        CHECK(holds(made.out, "Keep a copy in a safe place"));
        struct stat facts {};
        CHECK(::stat(path.c_str(), &facts) == 0);
        CHECK((facts.st_mode & 0777) == 0600);
        CHECK(contents(path).size() == std::string("tracehold-key-1 ").size() + 64 + 1);
        CHECK_FALSE(holds(made.out, contents(path).substr(16, 16)));
    }
    CHECK(contents(first) != contents(second));
}

TEST_CASE("a key is never overwritten") {
    const Folder folder;
    const std::string path = folder.file("one.key");
    run_program({"key", "new", path});
    const std::string before = contents(path);
    const ProgramResult again = run_program({"key", "new", path});
    CHECK(again.status == 3);
    CHECK(holds(again.err, "there is a file already: a key is never overwritten"));
    CHECK(contents(path) == before);
    fs::create_symlink(folder.file("elsewhere"), folder.file("link.key"));
    CHECK(run_program({"key", "new", folder.file("link.key")}).status == 3);
    CHECK_FALSE(fs::exists(folder.file("elsewhere")));
}

TEST_CASE("pseudonyms need a key that nobody else may read") {
    const Folder folder;
    const std::string path = folder.file("one.key"), input = recording(folder);
    const auto score = [&] {
        return run_program({"score", input, "--identity", "pseudonym", "--key-file", path, "--format", "json"});
    };
    ProgramResult result = score();
    CHECK(result.status == 1);
    CHECK(holds(result.err,
                "the key file: no key for pseudonyms: no such file\nhint: make one with 'tracehold key new'"));
    // Nothing named, and none made: the call itself asks for what is not there.
    ::setenv("XDG_CONFIG_HOME", folder.file("nothing").c_str(), 1);
    for (const char* command : {"score", "course", "audit"}) {
        const ProgramResult none = run_program({command, input, "--identity", "pseudonym"});
        CHECK(none.status == 2);
        CHECK(holds(none.err, "no key for pseudonyms: no such file"));
    }
    ::unsetenv("XDG_CONFIG_HOME");
    run_program({"key", "new", path});
    CHECK(holds(score().out, "\"source\": \"recording-"));
    ::chmod(path.c_str(), 0640);
    result = score();
    CHECK(result.status == 1);
    CHECK(holds(result.err, "others may read the key: saw …, expected 0600"));
    ::chmod(path.c_str(), 0600);
    std::ofstream(path) << "tracehold-key-1 00ff\n";
    result = score();
    CHECK(result.status == 1);
    CHECK(holds(result.err, "not a key file"));
    CHECK_FALSE(holds(result.err, "00ff"));
}

TEST_CASE("standard input cannot be made anonymous") {
    const ProgramResult result = run_program({"score", "-", "--identity", "anonymous"});
    CHECK(result.status == 2);
    CHECK(holds(result.err, "standard input cannot be made anonymous: all inputs are read twice"));
}

TEST_CASE("a recording of a hidden call has the same name in results files and messages") {
    const Folder folder;
    const std::string input = recording(folder), key = folder.file("one.key"), out = folder.file("out/");
    run_program({"key", "new", key});
    const auto score = [&](const char* more) {
        return run_program({"score", input, "--identity", "pseudonym", "--key-file", key, "--format", "json",
                            "--format", "csv", "--out", out, more});
    };
    CHECK(score("--quiet").status <= 1);
    std::vector<std::string> names;
    for (const auto& entry : fs::directory_iterator(out)) names.push_back(entry.path().filename().string());
    CHECK(names.size() == 3);
    for (const std::string& name : names) CHECK(name.rfind("recording-", 0) == 0);
    const auto made = fs::last_write_time(fs::path(out) / names[0]);
    CHECK(score("--resume").status <= 1);
    CHECK(fs::last_write_time(fs::path(out) / names[0]) == made);  // nothing was done again
    const ProgramResult unkeyed = run_program({"verify", out});
    CHECK(unkeyed.status == 1);
    CHECK(holds(unkeyed.out, "identities are hidden in it: it can be scored again with --key-file FILE"));
}

TEST_CASE("a result with pseudonyms is verified with the key and the files that it was made with") {
    const Folder folder;
    const std::string input = recording(folder), key = folder.file("one.key"), other = folder.file("other.key");
    const std::string result = folder.file("hidden.json"), list = folder.file("list.csv");
    std::string two = contents(input);
    two.replace(two.find("emg_uV"), 6, "Probe K-9 uV,Probe K-8 uV");
    for (std::size_t at = two.find('\n', two.find("K-8")) + 1; at < two.size(); at = two.find('\n', at) + 1) {
        two.insert(two.find('\n', at), ",0.5");
    }
    std::ofstream(input) << two;
    std::ofstream(list) << "file,person,site,channel\n" << fs::path(input).filename().string() << ",P-777,north wing,Probe K-9\n";
    for (const std::string& path : {key, other}) run_program({"key", "new", path});
    run_program({"score", input, "--sessions", list, "--identity", "pseudonym", "--key-file", key, "--format", "json", "--out", result, "--quiet"});
    const std::string text = contents(result), recordings = fs::path(input).parent_path().string();
    REQUIRE_FALSE(holds(text, "P-777"));
    REQUIRE_FALSE(holds(text, "K-9"));
    REQUIRE(holds(text, "\"channel\": \"channel-"));
    REQUIRE_FALSE(holds(text, tracehold::sha256_hex(contents(input)).substr(0, 12)));  // who holds the file cannot tell
    const auto verify = [&](const std::string& with, const std::string& sessions) {
        return run_program({"verify", result, "--recordings", recordings, "--key-file", with, "--sessions", sessions});
    };
    const ProgramResult same = verify(key, list);
    CHECK(same.status == 0);
    CHECK(holds(same.out, "1 of 1 results verified"));

    SUBCASE("another key is not the one") { CHECK(verify(other, list).status == 1); }
    SUBCASE("a number that was changed is named and no name is") {
        const auto at = text.find("\"noise_floor_uv\": ");
        REQUIRE(at != std::string::npos);
        std::ofstream(result) << text.substr(0, at) + "\"noise_floor_uv\": 77.0," + text.substr(text.find('\n', at));
        const ProgramResult changed = verify(key, list);
        CHECK(changed.status == 1);
        CHECK(holds(changed.out, "noise_floor_uv: the result says 77.0, now it is "));
        CHECK_FALSE(holds(changed.out, "P-777"));
    }
    SUBCASE("a plan or corrections that are not given cost one line, and nothing that goes wrong tells a name") {
        std::ofstream(folder.file("K-9 plan.json")) << R"({"schema": "tracehold.plan/1", "name": "K-9", "posture": "on the K-9 couch", "channel": "Probe K-9",
            "steps": [{"do": "rest", "seconds": 1}, {"do": "hold", "seconds": 1, "rest_seconds": 1, "times": 1}]})";
        const std::string plan = folder.file("K-9 plan.json"), corrections = folder.file("K-9 corrections.csv");
        std::ofstream(corrections) << "file,action,cycle,from_s,to_s,who,when,why\n" << fs::path(input).filename().string() << ",mask,,3.2,3.3,K-9,2026-03-05,K-9\n";
        run_program({"score", input, "--sessions", list, "--plan", plan, "--start", "0", "--corrections", corrections, "--identity", "pseudonym", "--key-file", key,
                     "--format", "json", "--out", result, "--quiet"});
        REQUIRE(holds(contents(result), "\"action\": \"mask\""));
        const auto with = [&](std::vector<std::string> more) {
            more.insert(more.begin(), {"verify", result, "--recordings", recordings, "--key-file", key, "--sessions", list});
            return run_program(more);
        };
        const ProgramResult whole = with({"--plan", plan, "--corrections", corrections});
        CHECK(whole.status == 0);
        CHECK_FALSE(holds(whole.out, "not compared"));
        const ProgramResult uncorrected = with({"--plan", plan});
        CHECK(uncorrected.status == 1);
        CHECK(holds(uncorrected.out, "    corrections (--corrections FILE compares them)\n0 of 1 results verified, 1 more but for a list that was not given (--corrections FILE)\n"));
        const ProgramResult unplanned = with({"--corrections", corrections});
        CHECK(unplanned.status == 1);
        CHECK(holds(unplanned.out, "    the plan was not given (--plan FILE"));
        CHECK(std::count(unplanned.out.begin(), unplanned.out.end(), '\n') == 3);
        std::ofstream(plan) << R"({"K-9": 1})";
        const ProgramResult nowhere = run_program({"verify", result, "--recordings", folder.file("K-9/"), "--key-file", key});
        CHECK(holds(nowhere.err, "the folder of recordings: no such file"));
        for (const ProgramResult& broken : {nowhere, with({"--plan", plan}), with({"--corrections", plan}), with({"--plan", folder.file("K-9")})}) {
            CHECK(broken.status != 0);
            CHECK_FALSE(holds(broken.out + broken.err, "K-9"));
            CHECK_FALSE(holds(broken.out + broken.err, folder.path.filename().string()));
        }
    }
    SUBCASE("a recording that is not there is named by its hash") {
        const ProgramResult gone = run_program({"verify", result, "--key-file", key, "--sessions", list});
        CHECK(gone.status == 1);
        CHECK(holds(gone.out, "no recording with its keyed hash "));
    }
}

TEST_CASE("an anonymous result is not verified and says why") {
    const Folder folder;
    const std::string input = recording(folder), result = folder.file("hidden.json");
    run_program({"score", input, "--identity", "anonymous", "--format", "json", "--out", result, "--quiet"});
    const ProgramResult refused = run_program({"verify", result, "--recordings", fs::path(input).parent_path().string()});
    CHECK(refused.status == 1);
    CHECK(holds(refused.out, "it is anonymous: nothing in it leads back to its recording"));
}

TEST_CASE("an audit says the same of results with pseudonyms as of kept ones under the key") {
    using nlohmann::json;
    const Folder folder;
    const std::string input = recording(folder), key = folder.file("one.key"), list = folder.file("list.csv");
    std::ofstream(list) << "file,person,site,start,reviewed\na.csv,P-777,north wing,2026-03-02T09:00,2026-03-20\nb.csv,P-888,south wing,2026-03-03T09:00,\n";
    run_program({"key", "new", key});
    const std::string kept = folder.file("kept.ndjson"), hidden = folder.file("hidden.ndjson");
    run_program({"score", input, "--sessions", list, "--format", "ndjson", "--out", kept, "--quiet"});
    run_program({"score", input, "--sessions", list, "--identity", "pseudonym", "--key-file", key, "--format", "ndjson", "--out", hidden, "--quiet"});
    const auto audit = [&](const std::string& results, std::vector<std::string> more) {
        more.insert(more.begin(), {"audit", results, "--by", "site", "--review-target", "30", "--format", "json"});
        return run_program(more);
    };
    const std::vector<std::string> under_key = {"--identity", "pseudonym", "--key-file", key};
    const auto with = [&](std::vector<std::string> more) {
        more.insert(more.end(), under_key.begin(), under_key.end());
        return more;
    };
    const ProgramResult alone = audit(hidden, under_key), listed = audit(hidden, with({"--sessions", list, "--recordings", folder.path.string()}));
    CHECK(json::parse(alone.out) == json::parse(audit(kept, under_key).out));
    CHECK(json::parse(listed.out) == json::parse(audit(kept, with({"--sessions", list})).out));
    const json review = json::parse(listed.out)["measures"]["time_to_review"];
    CAPTURE(review.dump());
    CHECK(review["median"] == 18.0);
    CHECK(json::parse(listed.out)["flow"]["people_listed_only"]["count"] == 1);
    CHECK_FALSE(holds(listed.err, "hides its recording's name"));
    CHECK_FALSE(holds(listed.out, "wing"));

    for (const ProgramResult& unmatched : {audit(hidden, {"--sessions", list}), audit(hidden, with({"--sessions", list}))}) {
        CHECK(holds(unmatched.out, "no review is known of: the results hide their recordings' names"));
        CHECK(holds(unmatched.err, "1 result hides its recording's name and the sessions list does not"));
        CHECK_FALSE(holds(unmatched.err, "no recording of this call"));
    }
}
