#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "support/made_up_session.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/exchange/read_results.hpp"
#include "tracehold/exchange/write_session.hpp"

using namespace tracehold;

namespace {

std::string line() { return session_json(test::made_up_session(), 0); }
std::string pretty() { return session_json(test::made_up_session(), 2); }

std::string results_refusal(const std::string& text) {
    try {
        read_session_results(text, "r.ndjson");
    } catch (const Error& error) {
        return std::string(to_string(error.kind)) + " " + error.what();
    }
    return "";
}

std::ptrdiff_t line_count(const std::string& text) { return std::count(text.begin(), text.end(), '\n'); }

void check_refused(const std::string& text, const std::string& told) {
    CHECK_EQ(results_refusal(text).substr(0, told.size()), told);
}

std::string changed(const std::string& pointer, const nlohmann::ordered_json& value) {
    auto json = nlohmann::ordered_json::parse(line());
    json[nlohmann::ordered_json::json_pointer(pointer)] = value;
    return json.dump() + "\n";
}

}  // namespace

TEST_CASE("results one after the other are read whichever way they are spread over lines") {
    const std::string empty = session_json(test::made_up_empty_session(), 0);
    for (const std::string& text :
         {line() + empty, pretty() + empty, line() + "\n\r\n  " + empty, "\xEF\xBB\xBF" + line() + empty + "  \n",
          line().substr(0, line().size() - 1) + empty}) {
        const auto scores = read_session_results(text, "r.ndjson");
        REQUIRE_EQ(scores.size(), 2);
        CHECK_EQ(session_json(scores[0], 0), line());
        CHECK_EQ(session_json(scores[1], 0), empty);
    }
    CHECK_EQ(read_session_results(pretty(), "r.json").size(), 1);
}

TEST_CASE("braces and quotes inside texts end no result") {
    SessionScore score = test::made_up_session();
    for (const char* text : {"}", "{", "a } \" { b", "\\", "\\\"", "}{\"schema\":1}"}) {
        score.recording.person = text;
        const auto scores = read_session_results(session_json(score, 0) + line(), "r.ndjson");
        REQUIRE_EQ(scores.size(), 2);
        CHECK_EQ(scores[0].recording.person, text);
    }
}

TEST_CASE("an error in one of several results is at its line of the whole text") {
    check_refused(line() + line() + changed("/cycles/0/kind", "press"),
                  "malformed r.ndjson:line 3, /cycles/0/kind: 'kind' is not known: saw 'press'");
    check_refused(line() + "\n" + changed("/schema", "tracehold.session/2"),
                  "unsupported r.ndjson:line 3, /schema: not a result read here: ");
    check_refused(line() + "{\n  \"a\": ?\n}\n", "malformed r.ndjson:3:8: not JSON: saw '?'");
    check_refused(line() + "  {\"a\": ?}\n", "malformed r.ndjson:2:9: not JSON: saw '?}'");
    check_refused("{\"µ\": ?}\n", "malformed r.ndjson:1:7: not JSON: saw '?}'");
    check_refused(line() + "{\"a\": 1, \"a\": 2}", "malformed r.ndjson:line 2, /a: the same key twice");
    check_refused(pretty() + "{\"a\": 1}",
                  "malformed r.ndjson:line " + std::to_string(line_count(pretty()) + 1) + ", ");
}

TEST_CASE("who goes on reads the results around a damaged one") {
    const std::string damaged = changed("/recording/duration_s", -1);
    const ResultsRead read = read_what_results(line() + damaged + line() + "words\n" + line(), "r.ndjson");
    CHECK_EQ(read.scores.size(), 2);
    REQUIRE_EQ(read.refused.size(), 2);
    CHECK_EQ(read.refused[0].place, "line 2, /recording/duration_s");
    CHECK_EQ(read.refused[1].place, "4:1");  // what stands behind it is not read
}

TEST_CASE("what stands between results and a text without any is refused") {
    const std::string hint = "\nhint: 'tracehold score --format json' or ndjson writes what is read here";
    CHECK_EQ(results_refusal(""),
             "malformed r.ndjson:1:1: no result here: saw the end of the text, expected '{' and a result" + hint);
    CHECK_EQ(results_refusal(" \n"),
             "malformed r.ndjson:2:1: no result here: saw the end of the text, expected '{' and a "
             "result" +
                 hint);
    CHECK_EQ(results_refusal(line() + "time,uv\n"),
             "malformed r.ndjson:2:1: no result here: saw 'time,uv', expected '{' and a result" + hint);
    for (const std::string& list : {"[" + line() + "]", "[\n" + pretty() + ",\n" + pretty() + "]\n"}) {
        CHECK_EQ(results_refusal(list),
                 "malformed r.ndjson:1:1: a list of results: saw '[', expected one result after the other, each from '{' to '}'\n"
                 "hint: 'jq -c .[]' takes a list apart");
        CHECK_THROWS_AS(refuse_list_of_results(list, "r.ndjson"), Error);
    }
    refuse_list_of_results(line(), "r.ndjson");
    check_refused("{}", "malformed r.ndjson:line 1, /schema: 'schema' is missing");
}

TEST_CASE("results cut at any byte are refused at their line") {
    const std::string text = line();
    for (std::size_t size = 1; size + 2 < text.size(); size += 97) {
        CAPTURE(size);
        check_refused(line() + text.substr(0, size), "malformed r.ndjson:2:");
    }
}

TEST_CASE("a result that is nested too deeply or too large is refused") {
    const std::string deep = "{\"a\":" + std::string(64, '[') + std::string(64, ']') + "}";
    CHECK_NE(results_refusal(line() + deep).find("nested too deeply: saw more than 64 levels"), std::string::npos);
    const std::string large = "{\"a\":\"" + std::string((std::size_t{64} << 20), 'x') + "\"}";
    CHECK_NE(results_refusal(line() + large).find("unsupported r.ndjson:line 2: too large: saw 67108872 bytes"),
             std::string::npos);
}

TEST_CASE("results are told from plans and recordings by their first bytes") {
    CHECK(looks_like_results(line()));
    CHECK(looks_like_results(pretty().substr(0, 200)));
    CHECK(looks_like_results("\xEF\xBB\xBF\r\n\t " + line()));
    CHECK_FALSE(looks_like_results(""));
    CHECK_FALSE(looks_like_results("{"));
    CHECK_FALSE(looks_like_results("{\"schema\": \"tracehold.plan/1\"}"));
    CHECK(other_kind_of_json("{\"schema\": \"tracehold.plan/1\"}") == "plan");
    CHECK(other_kind_of_json("{\"resourceType\": \"Bundle\"}") == "FHIR");
    CHECK(other_kind_of_json("{\"schema\": \"other/1\"}").empty());
    CHECK(other_kind_of_json("").empty());
    CHECK_FALSE(looks_like_results("{\"schema\": \"tracehold.course/1\"}"));
    CHECK_FALSE(looks_like_results("# \"tracehold.session/1\"\ntime,uv\n"));
    CHECK(looks_like_results("[" + line() + "]"));  // to be refused by name
    CHECK_FALSE(looks_like_results("[1, 2]"));
}
