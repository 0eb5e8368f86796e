// The program as scripts meet it: exit statuses, what goes to which stream, the words of its complaints.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <regex>
#include <sstream>

#include "support/run_program.hpp"

using tracehold::test::holds;
using tracehold::test::ProgramResult;
using tracehold::test::run_program;
using tracehold::test::TemporaryFolder;

namespace {

using Words = std::vector<std::string>;

const std::vector<Words> kCommands = {
    {"inspect"},           {"score"},         {"course"},     {"audit"},   {"export"}, {"verify"},   {"plan", "check"},
    {"plan", "threshold"}, {"plan", "sheet"}, {"key", "new"}, {"explain"}, {"schema"}, {"simulate"}, {"selfcheck"}};

Words joined(Words words, const Words& more) {
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

std::vector<Words> joined_all(std::vector<Words> commands, const std::vector<Words>& more) {
    commands.insert(commands.end(), more.begin(), more.end());
    return commands;
}

// An option that takes a value, as --help shows it: its long name and what stands behind.
struct ShownOption {
    std::string name, argument;
};

std::vector<ShownOption> options_in_help(const Words& command) {
    std::vector<ShownOption> options;
    std::istringstream help(run_program(joined(command, {"--help"})).out);
    const std::regex pattern(R"(^  (?:-\w,)?(--[a-z-]+) (\S+).*)");
    for (std::string line; std::getline(help, line);) {
        std::smatch match;
        if (std::regex_match(line, match, pattern)) options.push_back({match[1], match[2]});
    }
    return options;
}

bool takes_number(const ShownOption& option) {
    const Words units = {"<Hz>", "<s>", "<%>", "<uV>", "<days>", "<relative>", "<N>"};
    return std::find(units.begin(), units.end(), option.argument) != units.end();
}

void check_refused(const Words& command, const std::string& option, const std::string& word) {
    const ProgramResult result = run_program(joined(command, {option, word}));
    INFO(command.back(), " ", option, " '", word, "' ", result.err);
    CHECK(result.status == 2);
    CHECK(result.out.empty());
    CHECK(holds(result.err, "tracehold: " + option + ": saw "));
    CHECK(holds(result.err, "expected "));
}

}  // namespace

TEST_CASE("help and version go to standard output and end well") {
    for (const Words& command : joined_all(kCommands, {{}, {"plan"}, {"key"}})) {
        for (const char* option : {"--help", "-h"}) {
            const ProgramResult result = run_program(joined(command, {option}));
            INFO(result.out);
            CHECK(result.status == 0);
            CHECK(holds(result.out, "Usage: tracehold"));
            CHECK(holds(result.out, "Example:\n  tracehold"));
            CHECK(result.err.empty());
        }
    }
    const ProgramResult version = run_program({"--version"});
    CHECK(version.status == 0);
    CHECK(std::regex_match(version.out, std::regex(R"(tracehold \d+\.\d+\.\d+\nmeasures \d+\ncompiler \w+ \d[^\n]*\nlibraries CLI11 2\.[^\n]*, Eigen 3\.[^\n]*, fmt \d[^\n]*, nlohmann-json 3\.[^\n]*, nettle 3\.[^\n]*\n)")));
}

TEST_CASE("wrong use says what was wrong and where help is and ends with 2") {
    struct Case {
        Words words;
        const char* says;
    };
    const std::vector<Case> cases = {
        {{}, "tracehold: a command is needed\nTry 'tracehold --help'.\n"},
        {{"plan"}, "tracehold: a command is needed\nTry 'tracehold plan --help'.\n"},
        {{"scroe", "a.csv"}, "tracehold: unknown command 'scroe'; did you mean 'score'?\nTry 'tracehold --help'.\n"},
        {{"plan", "chek", "p"},
         "tracehold: unknown command 'chek'; did you mean 'check'?\nTry 'tracehold plan --help'.\n"},
        {{"frobnicate"}, "tracehold: unknown command 'frobnicate'\nTry 'tracehold --help'.\n"},
        {{"score"}, "tracehold: INPUT is required\nTry 'tracehold score --help'.\n"},
        {{"simulate", "s.json"}, "tracehold: --plan is required\nTry 'tracehold simulate --help'.\n"},
        {{"score", "--plna", "p", "a.csv"},
         "tracehold: unknown option '--plna'; did you mean '--plan'?\nTry 'tracehold score --help'.\n"},
        {{"score", "--plna=p", "a.csv"},
         "tracehold: unknown option '--plna'; did you mean '--plan'?\nTry 'tracehold score --help'.\n"},
        {{"score", "a.csv", "--xyz", "--abc"}, "tracehold: unknown option '--xyz'\nTry 'tracehold score --help'.\n"},
        {{"--plan", "p", "score", "a.csv"},
         "tracehold: '--plan' stands ahead of the command, expected behind 'tracehold score'\nTry 'tracehold score "
         "--help'.\n"},
        {{"explain", "release_s", "more"}, "tracehold: one MEASURE is expected: saw 'more' too\nTry 'tracehold explain --help'.\n"},
        {{"selfcheck", "more"}, "tracehold: unknown argument 'more'\nTry 'tracehold selfcheck --help'.\n"},
        {{"score", "--form", "csv", "a.csv"}, "tracehold: unknown option '--form'; did you mean '--format'?\nTry 'tracehold score --help'.\n"},
        {{"score", "a.csv", "--plan"},
         "tracehold: --plan: expected a value behind it\nTry 'tracehold score --help'.\n"},
        {{"score", "a.csv", "--quiet=perhaps"}, "tracehold: --quiet: takes no value\nTry 'tracehold score --help'.\n"},
        {{"score", "a.csv", "--out", "x", "-o", "y"},
         "tracehold: --out: given 2 times, expected once\nTry 'tracehold score --help'.\n"},
        {{"course", "a.csv", "--format", "json", "--format", "csv"},
         "tracehold: --format: given 2 times, expected once\nTry 'tracehold course --help'.\n"},
        {{"score", "--format", "jsn", "a.csv"},
         "tracehold: --format: saw 'jsn', expected one of text, json, ndjson, csv, md, html, fhir; did you mean "
         "'json'?\nTry 'tracehold score --help'.\n"},
        {{"explain", "relase_s"},
         "tracehold: no measure 'relase_s'; did you mean 'release_s'?\nTry 'tracehold explain' for all of them.\n"},
        {{"schema", "sesion"},
         "tracehold: no schema 'sesion'; did you mean 'session'?\nTry 'tracehold schema' for all of them.\n"},
    };
    for (const Case& wrong : cases) {
        const ProgramResult result = run_program(wrong.words);
        CHECK(result.status == 2);
        CHECK(result.out.empty());
        CHECK(result.err == wrong.says);
    }
}

TEST_CASE("no option of any command takes a word that it cannot read") {
    std::size_t numbers = 0, choices = 0, names = 0;
    for (const Words& command : kCommands) {
        for (const ShownOption& option : options_in_help(command)) {
            check_refused(command, option.name, "");
            if (takes_number(option)) {
                ++numbers;
                for (const char* word : {"nan", "inf", "-inf", " ", "1e999", "0x10", "1,5", "-1", "12 13", "x"}) {
                    check_refused(command, option.name, word);
                }
            } else if (holds(option.argument, "|") && option.argument.front() != '<' &&
                       !holds(option.argument, "COLUMN")) {
                ++choices;
                check_refused(command, option.name, "nonesuch");
                const ProgramResult any_case = run_program(
                    joined(command, {option.name, option.argument.substr(0, option.argument.find('|')), "--nonesuch"}));
                CHECK(holds(any_case.err, "unknown option '--nonesuch'"));
            } else {
                ++names;
            }
        }
    }
    CHECK(numbers >= 19);
    CHECK(choices >= 28);
    CHECK(names >= 40);
}

TEST_CASE("no flag of any command takes a value") {
    std::size_t flags = 0;
    const std::regex pattern(R"(^  (?:-\w,)?(--[a-z-]+)(?: {2,}.*)?)");
    for (const Words& command : joined_all(kCommands, {{}, {"plan"}, {"key"}})) {
        std::istringstream help(run_program(joined(command, {"--help"})).out);
        for (std::string line; std::getline(help, line);) {
            std::smatch match;
            if (!std::regex_match(line, match, pattern)) continue;
            ++flags;
            const std::string name = match[1];
            for (const char* value : {"no", "false", "0", "off", "-1", "yes", "true", "1", "{}", "", "perhaps"}) {
                const ProgramResult result = run_program(joined(command, {name + "=" + value}));
                INFO(result.out, result.err);
                CHECK(result.status == 2);
                CHECK(result.out.empty());
                CHECK(holds(result.err, "tracehold: " + name + ": takes no value\n"));
            }
        }
    }
    CHECK(flags >= 36);
}

TEST_CASE("whole numbers are decimal and dates and shards are whole") {
    for (const char* word : {"0", "1.5", "9999999999999999999999", "1025"}) {
        const ProgramResult result = run_program({"score", "--jobs", word, "a.csv"});
        CHECK(result.status == 2);
        CHECK(holds(result.err, "expected a whole number from 1 to 1024"));
    }
    CHECK(holds(run_program({"score", "--jobs", "010", "no-such-file.csv"}).err, "no such file"));  // ten, not eight
    for (const char* word : {"2026-02-30", "02.03.2026", "2026", "yesterday"}) check_refused({"audit"}, "--from", word);
    CHECK(holds(run_program({"simulate", "--seed", "-1", "s", "--plan", "p", "--out", "o"}).err,
                "expected a whole number from 0\n"));
}

TEST_CASE("words to choose from are known in capitals too") {
    CHECK(holds(run_program({"score", "--format", "JSON", "--unit", "UV", "no-such-file.csv"}).err, "no such file"));
}

TEST_CASE("an option takes its own word and leaves the files behind it") {
    const ProgramResult result = run_program({"score", "--format", "json", "no-such-file.csv"});
    CHECK(result.status == 1);
    CHECK(holds(result.err, "no-such-file.csv: no such file"));
    const ProgramResult empty = run_program({"score", "--plan=", "a.csv"});  // an empty value, not the file behind it
    CHECK(empty.status == 2);
    CHECK(holds(empty.err, "tracehold: --plan: saw '', expected a name"));
    CHECK(holds(run_program({"score", "-jthree", "a.csv"}).err, "--jobs: saw 'three'"));
    CHECK(holds(run_program({"score", "--plan=--a=b", "a.csv"}).err, "--a=b: no such file"));
    CHECK(holds(run_program({"score", "-j2", "no-such-file.csv"}).err, "no such file"));
}

TEST_CASE("files may be called like options lists or commands") {
    const TemporaryFolder folder;
    std::string text = "time_s,emg_uV\n";
    for (int i = 0; i < 600; ++i) text += std::to_string(i / 20.0) + "," + std::to_string(2 + i % 7) + "\n";
    const auto there = std::filesystem::current_path();
    std::filesystem::current_path(folder.path());
    for (const char* name : {"--plan", "[a,b]", "[week]", "score", "{}", "a=b", "-q.csv", "--a=b", "--plan="}) {
        folder.write(name, text);
        const ProgramResult result = run_program({"inspect", "--format", "ndjson", "--quiet", "--", name});
        INFO(name, " ", result.err);
        CHECK(result.status == 0);
        CHECK(holds(result.out, "\"source\":\"" + std::string(name) + "\""));
    }
    for (const char* name : {"[a,b]", "[week]", "score", "{}", "a=b"})
        CHECK(run_program({"inspect", name, "--quiet"}).status == 0);
    std::filesystem::current_path(there);
}

TEST_CASE("a channel that is not there is guessed at") {
    const TemporaryFolder folder;
    std::string text = "time_s,EMG PFM (uV),EMG Abd (uV)\n";
    for (int i = 0; i < 12000; ++i)
        text += std::to_string(i / 1000.0) + "," + std::to_string(i % 7 - 3) + "," + std::to_string(i % 5 - 2) + "\n";
    const ProgramResult result = run_program({"score", folder.write("a.csv", text), "--channel", "EMG PMF"});
    CHECK(result.status == 1);
    CHECK(holds(result.err, "no channel 'EMG PMF'; did you mean 'EMG PFM'?"));
}

TEST_CASE("a key of a plan that is not known is guessed at") {
    const TemporaryFolder folder;
    const std::string plan =
        folder.write("p.json", R"({"schema": "tracehold.plan/1", "name": "five", "posture": "lying",
        "steps": [{"do": "hold", "seconds": 6, "rest_seconds": 6, "tiems": 4}]})");
    const ProgramResult result = run_program({"plan", "check", plan});
    CHECK(result.status == 1);
    CHECK(holds(result.err, "/steps/0/tiems: a key that is not known: saw 'tiems'"));
    CHECK(holds(result.err, "did you mean 'times'?"));
}

TEST_CASE("every measure that is listed is explained") {
    const ProgramResult list = run_program({"explain"});
    CHECK(list.status == 0);
    for (const char* key : {"work_mean_uv", "release_s", "coactivity_pct", "endurance_s"}) {
        CHECK(holds(list.out, key));
        const ProgramResult one = run_program({"explain", key});
        CHECK(one.status == 0);
        for (const char* part : {"Definition", "Unit", "When there is no value", "Source"}) CHECK(holds(one.out, part));
    }
}
