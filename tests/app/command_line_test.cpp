// The program as scripts meet it: exit statuses, what goes to which stream, the words of its complaints.
#include <doctest/doctest.h>

#include "support/run_program.hpp"

using tracehold::test::ProgramResult;
using tracehold::test::run_program;

namespace {

bool holds(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("help and version go to standard output and end well") {
    for (const std::vector<std::string>& words : {std::vector<std::string>{"--help"}, {"score", "--help"}, {"plan", "check", "-h"}}) {
        const ProgramResult result = run_program(words);
        CHECK(result.status == 0);
        CHECK(holds(result.out, "Usage: tracehold"));
        CHECK(holds(result.out, "Example:"));
        CHECK(result.err.empty());
    }
    const ProgramResult version = run_program({"--version"});
    CHECK(version.status == 0);
    CHECK(version.out.rfind("tracehold ", 0) == 0);
}

TEST_CASE("wrong use says what was wrong and where help is and ends with 2") {
    struct Case {
        std::vector<std::string> words;
        const char* says;
    };
    const std::vector<Case> cases = {
        {{}, "tracehold: a command is needed\nTry 'tracehold --help'.\n"},
        {{"scroe", "a.csv"}, "tracehold: unknown command 'scroe'; did you mean 'score'?\nTry 'tracehold --help'.\n"},
        {{"frobnicate"}, "tracehold: unknown command 'frobnicate'\nTry 'tracehold --help'.\n"},
        {{"score", "--plna", "p", "a.csv"}, "tracehold: unknown option '--plna'; did you mean '--plan'?\nTry 'tracehold score --help'.\n"},
        {{"score", "--plna=p", "a.csv"}, "tracehold: unknown option '--plna'; did you mean '--plan'?\nTry 'tracehold score --help'.\n"},
        {{"score", "--format", "jsn", "a.csv"},
         "tracehold: --format: saw 'jsn', expected one of text, json, ndjson, csv, md, html, fhir; did you mean 'json'?\nTry 'tracehold score --help'.\n"},
        {{"explain", "relase_s"}, "tracehold: no measure 'relase_s'; did you mean 'release_s'?\nTry 'tracehold explain' for all of them.\n"},
        {{"schema", "sesion"}, "tracehold: no schema 'sesion'; did you mean 'session'?\nTry 'tracehold schema' for all of them.\n"},
    };
    for (const Case& wrong : cases) {
        const ProgramResult result = run_program(wrong.words);
        CHECK(result.status == 2);
        CHECK(result.out.empty());
        CHECK(result.err == wrong.says);
    }
}

TEST_CASE("numbers on the command line are decimal finite and in range") {
    for (const char* option : {"--rate", "--start"}) {
        for (const char* word : {"nan", "inf", "-inf", "", " ", "1e999", "0x10", "1,5", "-1", "1e9", "x"}) {
            const ProgramResult result = run_program({"score", option, word, "a.csv"});
            INFO(option, " '", word, "'");
            CHECK(result.status == 2);
            CHECK(holds(result.err, "expected a number from"));
        }
    }
    for (const char* word : {"0", "-1", "1.5", "0x10", "", "9999999999999999999999"}) {
        const ProgramResult result = run_program({"score", "--jobs", word, "a.csv"});
        CHECK(result.status == 2);
        CHECK(holds(result.err, "expected a whole number from 1 to 1024"));
    }
}

TEST_CASE("a repeated format does not swallow the files behind it") {
    const ProgramResult result = run_program({"score", "--format", "json", "no-such-file.csv"});
    CHECK(result.status == 1);
    CHECK(holds(result.err, "no-such-file.csv: no such file"));
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
