// What is asked for and cannot be: told apart from an input that is at fault, in words that name the file, its line and the way out.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "support/run_program.hpp"

using tracehold::test::file_bytes;
using tracehold::test::holds;
using tracehold::test::ProgramResult;
using tracehold::test::run_program;
using tracehold::test::TemporaryFolder;

namespace {

namespace fs = std::filesystem;
using Words = std::vector<std::string>;

std::size_t lines_in(const std::string& text) { return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')); }

// Exported amplitudes, 20 a second: five contractions of 6 s in each minute.
std::string amplitude_columns(const std::string& first_line = "", const std::string& header = "time_s,emg_uV", int columns = 1) {
    std::string text = first_line + header + "\n";
    for (int i = 0; i < 1200; ++i) {
        const double noise = i * 7919 % 1009 / 1009.0;
        const bool works = (i + 180) % 240 < 120;
        text += fmt::format("{:.2f}", i / 20.0);
        for (int c = 0; c < columns; ++c) text += fmt::format(",{:.2f}", 2 + noise + (works ? 14 + 3 * noise : 0));
        text += "\n";
    }
    return text;
}

constexpr const char* kPlanOfFive =
    R"({"schema": "tracehold.plan/1", "name": "five", "posture": "lying",
        "steps": [{"do": "hold", "seconds": 6, "rest_seconds": 6, "times": 5}]})";
constexpr const char* kHeader = "file,action,cycle,from_s,to_s,who,when,why\n";

struct Files {
    TemporaryFolder folder;
    std::string a = folder.write("a.csv", amplitude_columns());
    std::string b = folder.write("b.csv", amplitude_columns());
    std::string plan = folder.write("plan.json", kPlanOfFive);

    ProgramResult corrected(const std::string& rows) const {
        return run_program({"score", a, "--format", "json", "--corrections", folder.write("corrections.csv", kHeader + rows)});
    }
};

}  // namespace

TEST_CASE("what no input is to blame for ends with 2") {
    const Files files;
    const std::string list = files.folder.write("list.csv", "file,person\na.csv,P-1\nb.csv,P-2\n");
    fs::create_directory(files.folder.path("other"));
    for (const char* copy : {"other/a.csv", "other/c.csv"}) fs::copy_file(files.a, files.folder.path(copy));
    const std::string out = files.folder.path("r/"), empty;
    struct Case {
        Words words;
        const char* says;
    };
    const std::vector<Case> cases = {
        {{"score", files.a, "--format", "json", "--format", "csv"}, "--out: several files do not go into one: saw standard output, expected a folder"},
        {{"audit", files.a, "--format", "json", "--format", "csv"}, "saw standard output, expected a folder"},
        {{"export", files.a, "--format", "bids"}, "saw standard output, expected a folder"},
        {{"export", files.a, "--format", "edf", "--format", "csv", "--out", files.folder.path("x")}, "saw a file name, expected a folder"},
        {{"score", files.a, files.b, "--format", "html"}, "one file cannot hold the pages of several recordings"},
        {{"score", files.a, "--resume"}, "only results in a folder can be resumed"},
        {{"score", files.a, "--resume", "--out", out}, "add --format json"},
        {{"score", files.a, "--resume", "--out", out, "--format", "json", "--identity", "anonymous"}, "anonymous results cannot be resumed"},
        {{"score", files.a, "--format", "csv", "--format", "csv", "--out", out}, "--format: saw 'csv' again, expected each once"},
        {{"score", files.a, "-c", empty}, "--channel: saw '', expected a name"},
        {{"score", "-", "--files-from", "-"}, "standard input cannot be both"},
        {{"score", "-", "--identity", "anonymous"}, "standard input cannot be made anonymous"},
        {{"inspect", files.a, "--out", files.folder.path()}, "saw a folder, expected the name of a file"},
        {{"course", files.a, "--out", files.folder.path()}, "saw a folder, expected the name of a file"},
        {{"course", files.a, files.b, "--by-person", "--sessions", list, "--format", "html"}, "one page cannot hold several courses"},
        {{"audit", files.a, "--from", "2026-04-01", "--to", "2026-03-01"}, "the period ends before it starts"},
        {{"audit", files.a, "--sessions", list, "--by", "nope"}, "no column 'nope' in the sessions list"},
        {{"audit", files.a, "--by", "nope"}, "name the list with --sessions FILE"},
        {{"audit", files.a, "--sessions", list, "--by", "person"}, "would list people"},
        {{"audit", files.a, "--by", "site", "--identity", "anonymous"}, "groups have names"},
        {{"audit", files.a, "--min-cell", "5"}, "add --for public"},
        {{"plan", "sheet", files.plan, "other.json"}, "one INPUT is expected: saw 'other.json' too"},
        {{"plan", "threshold", files.a, "b.csv", "--plan", files.plan}, "one INPUT is expected: saw 'b.csv' too"},
        {{"plan", "threshold", files.folder.path("other"), "--plan", files.plan, "--out", out}, "a threshold comes from one recording: saw 2"},
        {{"export", files.folder.path("other")}, "other: saw a folder, expected one recording"},
        {{"score", files.a, "--key-file", files.a}, "add --identity pseudonym"},
        {{"score", files.a, "--key-file", files.a, "--identity", "anonymous"}, "add --identity pseudonym"},
        {{"audit", files.a, "--key-file", files.a}, "add --identity pseudonym, or --sessions FILE"},
        {{"audit", files.a, "--key-file", files.a, "--sessions", list, "--identity", "anonymous"}, "add --identity pseudonym"},
    };
    for (const Case& wrong : cases) {
        const ProgramResult result = run_program(wrong.words);
        INFO(fmt::format("{}\n{}", fmt::join(wrong.words, " "), result.err));
        CHECK(result.status == 2);
        CHECK(result.out.empty());
        CHECK(holds(result.err, wrong.says));
        CHECK_FALSE(holds(result.err, "standard input: several"));
        CHECK_FALSE(fs::exists(files.folder.path("r")));
    }
}

TEST_CASE("what a recording or a list lacks ends with 1 and names it") {
    const Files files;
    const std::string longer = files.folder.write("long.json", std::string(kPlanOfFive).replace(std::string(kPlanOfFive).find("\"times\": 5"), 10, "\"times\": 50"));
    const ProgramResult early = run_program({"score", files.a, files.b, "--plan", longer, "--start", "0"});
    CHECK(early.status == 1);
    for (const std::string& path : {files.a, files.b}) CHECK(holds(early.err, "error: " + path + ": the recording ends before the plan"));
    CHECK(holds(early.out, "a.csv: the recording ends before the plan"));
    struct Case {
        Words words;
        const char* says;
    };
    const std::string none = files.folder.path("none");
    const std::vector<Case> cases = {
        {{"score", files.a, "--plan", none}, "none: no such file\nhint: a plan is a file of JSON; examples/plan-home-a.jsonc is one to copy"},
        {{"score", files.a, "--sessions", none}, "none: no such file\nhint: --sessions names"},
        {{"score", files.a, "--corrections", none}, "none: no such file\nhint: --corrections names"},
        {{"score", "--files-from", none}, "none: no such file\nhint: --files-from names"},
        {{"score", "--files-from", files.folder.write("blank.txt", "\n\n")}, "blank.txt: the list names no input"},
        {{"course", files.a, "--rules", none}, "none: no such file\nhint: 'tracehold explain rules'"},
        {{"score", files.a, "--sessions", files.folder.write("plans.csv", "file,plan\na.csv,none.json\n")}, "hint: the sessions list names this plan"},
        {{"score", files.a, "--channel", "1", "--accessory", "1"}, "the same channel twice: saw 'emg' as the channel to score and as accessory"},
        {{"score", files.folder.write("deg.csv", amplitude_columns("", "time_s,angle (deg)"))}, "no channel holds a voltage, but for accessories: the file has 1 'angle"},
        {{"plan", "check", files.folder.write("do.json", R"({"schema": "tracehold.plan/1", "name": "x", "posture": "lying", "steps": [{"seconds": 5}]})")},
         "/steps/0/do: 'do' is missing\n"},
        {{"plan", "check", files.folder.write("cue.json", std::string(kPlanOfFive).insert(std::string(kPlanOfFive).size() - 1, R"(, "cues": {"contract": [""], "relax": ["r"]})"))},
         "has a cue without a text: saw ''"},
    };
    for (const Case& refused : cases) {
        const ProgramResult result = run_program(refused.words);
        INFO(fmt::format("{}\n{}", fmt::join(refused.words, " "), result.err));
        CHECK(result.status == 1);
        CHECK(holds(result.err, refused.says));
    }
}

TEST_CASE("a correction that cannot be is told with its recording its list and its line") {
    const Files files;
    const std::string list = files.folder.path("corrections.csv");
    const auto says = [&](const std::string& rows, const std::string& what) {
        const ProgramResult result = files.corrected(rows);
        INFO(rows, result.err);
        CHECK(result.status == 1);
        CHECK(holds(result.err, files.a + ":" + list + ":" + what));
    };
    const std::string signed_by = ",K-3,2026-03-10,\n";
    says("a.csv,move_onset,2,14.9," + signed_by + "a.csv,move_onset,99,3," + signed_by, "3, move_onset of cycle 99: there is no such cycle");
    says("a.csv,add_cycle,,4,8" + signed_by, "2, corrections: corrected cycles overlap");
    says("a.csv,add_cycle,,40,4000" + signed_by, "2, add_cycle: the time is outside the recording");
    says("a.csv,move_onset,2,14.9," + signed_by + "a.csv,drop_cycle,1,," + signed_by + ",move_onset,2,15.3," + signed_by,
         "2, " + list + ":4, move_onset of cycle 2: the same correction more than once");
    says("a.csv,move_onset,2,20," + signed_by + "a.csv,move_offset,2,15," + signed_by, "2, " + list + ":3, cycle 2: a corrected contraction ends");
    for (const char* rows : {"a.csv,mask,,3,,K-3,2026-03-10,\n", "a.csv,add_cycle,,3,,K-3,2026-03-10,\n"}) {
        const ProgramResult result = files.corrected(rows);
        CHECK(result.status == 1);
        CHECK(holds(result.err, "'to_s' is empty, expected seconds"));
    }
    const ProgramResult moved = files.corrected("a.csv,move_onset,2,14.9," + signed_by);
    CHECK(moved.status == 0);
    CHECK(nlohmann::json::parse(moved.out)["corrections"][0]["to_s"].is_null());
}

TEST_CASE("where every contraction was dropped the corrections are the cause") {
    const Files files;
    std::string rows;
    for (int cycle = 1; cycle <= 5; ++cycle) rows += fmt::format("a.csv,drop_cycle,{},,,K-3,2026-03-10,\n", cycle);
    const auto found = nlohmann::json::parse(files.corrected(rows).out);
    CHECK(found["cycles"].empty());
    CHECK(holds(found["notes"].dump(), "every contraction was dropped by a correction"));
    CHECK_FALSE(holds(found.dump(), "no contraction was found"));
    CHECK_FALSE(holds(found.dump(), "no contraction was done"));
    const ProgramResult planned = run_program({"score", files.a, "--plan", files.plan, "--start", "3", "--format", "json", "--corrections", files.folder.path("corrections.csv")});
    const auto quality = nlohmann::json::parse(planned.out)["quality"].dump();
    CHECK(holds(quality, "5 of 5 planned contractions have no place in the recording: 5 dropped by corrections"));
    CHECK_FALSE(holds(quality, "starts late"));
}

TEST_CASE("a folder without inputs costs the others nothing") {
    const Files files;
    const std::string empty = files.folder.path("empty"), says = empty + ": nothing that this command reads in this folder\nhint: recordings (score, inspect, course, audit) end in";
    fs::create_directory(empty);
    for (const char* command : {"score", "inspect", "course", "audit"}) {
        const ProgramResult result = run_program({command, empty, files.a, "--format", "json"});
        INFO(command, " ", result.err);
        CHECK(result.status == 1);
        CHECK(holds(result.err, says));
        CHECK(nlohmann::json::parse(result.out).is_object());
    }
    const ProgramResult table = run_program({"score", empty, files.a, files.b});
    CHECK(holds(table.out, "2 recordings, 1 scored"));
    CHECK(holds(table.out, "a copy of"));
    CHECK(run_program({"verify", empty}).status == 1);
}

TEST_CASE("practice recordings are called after what they are") {
    const Files files;
    const auto simulated = [&](const std::string& scenario) {
        return run_program({"simulate", files.folder.write("s.json", scenario), "--plan", files.plan, "--out", files.folder.path("made/")});
    };
    const ProgramResult other = simulated(R"({"sessions": [{"file": "a.csv"}, {"file": "b.rec"}], "schema": "tracehold.scenario/1"})");
    CHECK(other.status == 1);
    CHECK(holds(other.err, "s.json:/sessions/1/file: 'file' does not say how it is written: saw 'b.rec', expected a name that ends in .csv or .edf"));
    CHECK_FALSE(fs::exists(files.folder.path("made/a.csv")));
    const ProgramResult nameless = simulated("{}");
    CHECK(nameless.status == 1);
    CHECK(holds(nameless.err, "s.json:session 1: 'file' is missing"));
    CHECK(simulated(R"({"file": "c.EDF"})").status == 0);
    CHECK(file_bytes(files.folder.path("made/c.EDF")).starts_with("0       "));  // the version of EDF
    CHECK(simulated(R"({"file": "c.CSV"})").status == 0);
    CHECK(holds(file_bytes(files.folder.path("made/c.CSV")), "time_s"));
}

TEST_CASE("an option that changes nothing is refused and names the one it belongs to") {
    struct Belongs {
        Words option;
        const char* to;
        Words with;  // what makes it count
    };
    const Files files;
    const std::string key = files.folder.path("k");
    REQUIRE(run_program({"key", "new", key}).status == 0);
    const std::vector<Belongs> cases = {{{"--key-file", key}, "add --identity pseudonym", {"--identity", "pseudonym"}},
                                        {{"--paper", "letter"}, "--paper is of --format html: add --format html", {"--format", "html"}},
                                        {{"--fhir-as", "ndjson"}, "--fhir-as is of --format fhir: add --format fhir", {"--format", "fhir"}}};
    std::size_t count = 0;
    for (const Words& command : std::vector<Words>{{"inspect"}, {"score"}, {"course"}, {"audit"}, {"export"}, {"plan", "sheet"}}) {
        Words help = command;
        help.emplace_back("--help");
        const std::string shown = run_program(help).out;
        for (const Belongs& each : cases) {
            if (!holds(shown, each.option[0] + " ")) continue;
            ++count;
            Words call = command;
            call.push_back(command[0] == "plan" ? files.plan : files.a);
            call.insert(call.end(), each.option.begin(), each.option.end());
            const ProgramResult alone = run_program(call);
            INFO(fmt::format("{}\n{}", fmt::join(call, " "), alone.err));
            CHECK(alone.status == 2);
            CHECK(alone.out.empty());
            CHECK(holds(alone.err, each.to));
            call.insert(call.end(), each.with.begin(), each.with.end());
            CHECK(run_program(call).status == 0);
        }
    }
    CHECK(count == 12);
    const std::string list = files.folder.write("list.csv", "file,person\na.csv,P-1\n");
    CHECK(run_program({"audit", files.a, "--sessions", list, "--key-file", key}).status == 0);  // finds the rows of hidden results
    CHECK(run_program({"audit", files.a, "--sessions", list, "--key-file", files.folder.path("none")}).status == 1);
}

TEST_CASE("rows of a sessions list that fit nothing are told and so is a column nearly misspelt") {
    const Files files;
    const std::string list = files.folder.write("list.csv", "file,preson\na.csv,P-1\nmonday.csv,P-1\ntuesday.csv,P-1\nb_.csv,P-1\nc.csv,P-1\n");
    for (const char* command : {"score", "course", "audit"}) {
        const ProgramResult result = run_program({command, files.a, files.b, "--sessions", list, "--format", "json"});
        INFO(result.err);
        CHECK(holds(result.err, "note: " + list + ": 4 rows fit no recording of this call: 'monday.csv', 'tuesday.csv', 'b_.csv' ...\n"));
        CHECK(holds(result.err, "note: " + list + ": the column 'preson' is none that is read; did you mean 'person'?\n"));
        CHECK_FALSE(holds(run_program({command, files.a, files.b, "--sessions", list, "--quiet"}).err, "note: "));
        const ProgramResult hidden = run_program({command, files.a, files.b, "--sessions", list, "--identity", "anonymous"});
        CHECK_FALSE(holds(hidden.err, "monday"));
        CHECK_FALSE(holds(hidden.err, "preson"));
    }
    CHECK_FALSE(holds(run_program({"score", files.a, "--sessions", list}).err, "fit no recording"));
    CHECK(holds(run_program({"score", files.b, "--sessions", list}).err, "5 rows fit no recording"));
}

TEST_CASE("no name of a file forges a line") {
    const TemporaryFolder folder;
    const std::string forged = "a\ntracehold: error: forged\x1b[31m\t.csv";
    const std::string good = folder.write(forged, amplitude_columns()), bad = folder.write("b\ntracehold: error: forged.csv", "\x01\x02\xff");
    const std::string both = folder.path();
    const std::vector<Words> calls = {
        {"score", both},  {"score", good}, {"score", good, "--format", "md"}, {"inspect", both}, {"course", both}, {"audit", both}, {"export", good},
        {"export", bad},  {"plan", "check", bad}, {"plan", "sheet", bad}, {"score", good, "--plan", bad}, {"score", good, "--sessions", bad},
        {"score", good, good + "/x", "--dry-run"}, {"score", good, "--out", good}, {"verify", bad},
        {"score", good, "--corrections", folder.write("c.csv", std::string(kHeader) + "a.csv,mask,,1,2,K,2026-03-10,\n")},
        {"score", good, "--out", folder.path("none\ntracehold: error: forged/x")}};
    for (const Words& call : calls) {
        const ProgramResult result = run_program(call);
        INFO(fmt::format("{}\n{}\n{}", fmt::join(call, " "), result.err, result.out));
        CHECK_FALSE(holds(result.err, "\ntracehold: error: forged"));
        CHECK_FALSE(holds(result.err, "\x1b"));
        if (call[0] != "export") CHECK_FALSE(holds(result.out, "\ntracehold: error: forged"));
    }
    CHECK(lines_in(run_program({"inspect", bad}).err) == 2);  // the error and its hint
}

TEST_CASE("an export of what cannot be scored ends as its score does") {
    const TemporaryFolder folder;
    std::string constant = "time_s,emg_uV\n";
    for (int i = 0; i < 3000; ++i) constant += fmt::format("{},5\n", i / 1000.0);
    const std::string path = folder.write("constant.csv", constant);
    for (const char* command : {"score", "export"}) {
        const ProgramResult result = run_program({command, path});
        CHECK(result.status == 1);
        CHECK(holds(result.err, "cannot be scored: "));
    }
}

TEST_CASE("two channels with the same samples are doubted") {
    const TemporaryFolder folder;
    const std::string path = folder.write("twice.csv", amplitude_columns("", "time_s,pfm_uV,abd_uV", 2));
    const ProgramResult result = run_program({"score", path, "--channel", "1", "--accessory", "2", "--format", "json"});
    CHECK(holds(nlohmann::json::parse(result.out)["quality"].dump(), "channel 2 of the file has the very same samples"));
}

TEST_CASE("a person whose code begins with an equals sign keeps it") {
    const TemporaryFolder folder;
    const ProgramResult result = run_program({"score", folder.write("a.csv", amplitude_columns("# person: =X\n")), "--format", "json"});
    CHECK(nlohmann::json::parse(result.out)["recording"]["person"] == "=X");
}
