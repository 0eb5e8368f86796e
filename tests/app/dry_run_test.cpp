// A dry run says what the real one does, and does nothing.
#include <doctest/doctest.h>

#include <filesystem>
#include <set>
#include <sstream>

#include "support/run_program.hpp"

using tracehold::test::file_bytes;
using tracehold::test::holds;
using tracehold::test::ProgramResult;
using tracehold::test::run_program;
using tracehold::test::TemporaryFolder;

namespace {

namespace fs = std::filesystem;
using Words = std::vector<std::string>;

// Amplitudes at 20 Hz with a contraction of 6 s in every 12.
std::string dated_amplitudes(int variant, const std::string& person) {
    std::string text =
        "# person: " + person + "\n# start: 2026-03-02T08:0" + std::to_string(variant) + ":00\ntime_s,emg_uV\n";
    for (int i = 0; i < 1200; ++i) {
        const double t = i / 20.0, noise = (i * 7919 + variant * 1031) % 1009 / 1009.0;
        const bool works = static_cast<int>(t + 9.0) % 12 < 6;
        text += std::to_string(t) + "," + std::to_string(2.0 + noise + (works ? 14.0 + variant : 0.0)) + "\n";
    }
    return text;
}

struct Week {
    TemporaryFolder folder;
    std::string plan = folder.write("plan.json", R"({"schema": "tracehold.plan/1", "name": "five", "posture": "lying",
        "steps": [{"do": "rest", "seconds": 3}, {"do": "hold", "seconds": 6, "rest_seconds": 6, "times": 4}]})");
    std::string in = folder.path("in");
    Week() {
        for (int i = 1; i < 4; ++i) folder.write("in/r" + std::to_string(i) + ".csv", dated_amplitudes(i, "P-201"));
    }
    std::set<std::string> files() const {
        std::set<std::string> names;
        for (const auto& entry : fs::recursive_directory_iterator(folder.path())) names.insert(entry.path().string());
        return names;
    }
};

std::set<std::string> promised(const std::string& out) {
    std::set<std::string> paths;
    std::istringstream lines(out);
    const std::string begin = "    would write ";
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with(begin)) paths.insert(line.substr(begin.size()));
    }
    return paths;
}

// Runs it dry, then for real: the same status, nothing written by the first, what it promised by the second.
ProgramResult check_call(const Week& week, Words call) {
    const auto before = week.files();
    Words dry = call;
    dry.push_back("--dry-run");
    ProgramResult told = run_program(dry);
    INFO(told.out, told.err);
    CHECK(week.files() == before);
    call.push_back("--quiet");
    const ProgramResult made = run_program(call);
    INFO(made.err);
    CHECK(told.status == made.status);
    std::set<std::string> fresh;
    for (const std::string& path : week.files()) {
        if (!before.contains(path) && fs::is_regular_file(path)) fresh.insert(path);
    }
    CHECK(promised(told.out) == fresh);
    return told;
}

}  // namespace

TEST_CASE("a dry run of score names the files that the real one writes") {
    const Week week;
    const ProgramResult told = check_call(week, {"score", week.in, "--plan", week.plan, "--format", "json", "--format",
                                                 "html", "--out", week.folder.path("out/")});
    CHECK(told.status == 0);
    CHECK(holds(told.out,
                "in/r1.csv: csv, 60.0 s, channel 'emg' (envelope, 20 Hz), person P-201, 2026-03-02T08:01:00, plan "));
    CHECK(holds(told.out, "\n3 of 3 recordings would be scored; whether their signals can be, scoring tells\n"));
    CHECK(told.err.empty());
    check_call(week, {"score", week.in, "--format", "ndjson", "--out", week.folder.path("all.ndjson")});
}

TEST_CASE("a dry run refuses what the real one refuses") {
    const Week week;
    week.folder.write("in/r9.csv", "no recording");
    const std::string out = week.folder.path("out/");
    const ProgramResult told = check_call(week, {"score", week.in, "--format", "json", "--out", out});
    CHECK(told.status == 1);
    CHECK(holds(told.err, "r9.csv"));
    CHECK(holds(told.out, "3 of 4 recordings would be scored"));
    const std::vector<std::pair<Words, int>> calls = {
        {{"score", week.in, "--plan", "none.json"}, 1},
        {{"score", week.in, "--channel", "nonesuch"}, 1},
        {{"score", week.in, "--format", "html"}, 2},
        {{"score", week.in, "--resume"}, 2},
        {{"score", week.in, "--out", "/proc/none/x"}, 3},
        {{"score", week.in, "--out", week.plan + "/"}, 3},
        {{"course", week.in, "--out", "/proc/none/x"}, 3},
        {{"course", week.in, "--out", week.in}, 2},
        {{"audit", week.in, "--out", "/proc/none/x"}, 3},
        {{"audit", week.in, "--format", "json", "--format", "csv"}, 2},
        {{"export", week.in + "/r9.csv"}, 1},
        {{"export", week.in + "/r1.csv", "--format", "bids"}, 2},
        {{"export", week.in + "/r1.csv", "--out", week.in + "/r1.csv"}, 2},
        {{"score", week.in, "--formt", "json"}, 2},
    };
    for (const auto& [call, status] : calls) {
        Words dry = call;
        dry.push_back("--dry-run");
        INFO(call[0], " ", call.back());
        CHECK(run_program(call).status == status);
        CHECK(run_program(dry).status == status);
    }
}

TEST_CASE("a dry run leaves to other shards what is theirs and says what is there already") {
    const Week week;
    week.folder.write("in/other.csv", dated_amplitudes(5, "P-777"));
    int recordings = 0;
    for (const char* part : {"1/2", "2/2"}) {
        const std::string out = run_program({"score", week.in, "--shard", part, "--dry-run"}).out;
        for (const char* name : {"r1.csv: ", "r2.csv: ", "r3.csv: ", "other.csv: "})
            recordings += holds(out, name) ? 1 : 0;
        const bool one = holds(out, "1 of 4 recordings would be scored, 3 belong to other parts; "), three = holds(out, "3 of 4 recordings would be scored, 1 belongs to other parts; ");
        CHECK((one || three));
    }
    CHECK(recordings == 4);
    const Words call = {"score", week.in, "--format", "json", "--out", week.folder.path("out/"), "--resume"};
    check_call(week, call);
    const ProgramResult again = check_call(week, call);
    CHECK(holds(again.out, "r1.csv: its results are there already\n"));
    CHECK(holds(again.out, "0 of 4 recordings would be scored\n"));
}

TEST_CASE("dry runs of course audit and export name inputs and outputs") {
    const Week week;
    const std::string results = week.folder.path("r.ndjson");
    REQUIRE(run_program({"score", week.in, "--plan", week.plan, "--format", "ndjson", "--out", results, "--quiet"})
                .status == 0);
    const ProgramResult course =
        check_call(week, {"course", results, "--format", "html", "--out", week.folder.path("c.html")});
    CHECK(holds(course.out, "r.ndjson: 3 results of 'score'\n"));
    CHECK(holds(course.out, "1 of 1 inputs would be used\n"));
    check_call(
        week, {"audit", results, week.in, "--format", "json", "--format", "html", "--out", week.folder.path("audit/")});
    check_call(week,
               {"export", week.in + "/r1.csv", "--format", "bids", "--format", "edf", "--out", week.folder.path("x/")});
    check_call(week, {"export", week.in + "/r1.csv", "--out", week.folder.path("one.edf")});
    week.folder.write("half.ndjson", file_bytes(results).substr(0, 5000));
    CHECK(run_program({"audit", week.folder.path("half.ndjson"), "--dry-run"}).status == 1);
}

TEST_CASE("a dry run keeps identities in") {
    const Week week;
    const ProgramResult told = run_program({"score", week.in, "--plan", week.plan, "--identity", "anonymous",
                                            "--dry-run", "--format", "json", "--out", week.folder.path("o/")});
    CHECK(told.status == 0);
    for (const char* word : {"P-201", "r1.csv", "2026", "plan.json"}) CHECK_FALSE(holds(told.out + told.err, word));
    CHECK(holds(told.out, "person-1-recording-01: csv"));
}
