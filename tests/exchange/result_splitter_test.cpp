#include "tracehold/exchange/result_splitter.hpp"

#include <doctest/doctest.h>

#include <random>

#include "support/hostile_texts.hpp"
#include "support/made_up_session.hpp"
#include "tracehold/exchange/write_session.hpp"

using namespace tracehold;

namespace {

std::vector<ResultText> split(std::string_view text, std::mt19937* random = nullptr) {
    ResultSplitter splitter;
    std::vector<ResultText> out;
    while (!text.empty()) {
        const std::size_t most = random != nullptr ? 1 + (*random)() % 97 : text.size();
        const std::size_t size = std::min(text.size(), most);
        splitter.take(text.substr(0, size), out);
        text.remove_prefix(size);
    }
    splitter.finish(out);
    return out;
}

std::string hostile_session(int indent) {
    std::string hostile;
    for (const std::string& text : test::hostile_texts()) hostile += text + " ";
    return session_json(test::with_all_texts(test::made_up_session(), hostile), indent);
}

}  // namespace

// The reader of whole texts is the referee.
TEST_CASE("any pieces give the results that a whole text gives") {
    std::mt19937 random(4);
    for (const int indent : {0, 2}) {
        const std::string text = "\xEF\xBB\xBF" + session_json(test::made_up_session(), indent) + "\n\n" +
                                 hostile_session(indent) + session_json(test::made_up_empty_session(), indent);
        const auto whole = read_session_results(text, "all");
        REQUIRE(whole.size() == 3);
        for (int i = 0; i < 5; ++i) {
            const auto results = split(text, i == 0 ? nullptr : &random);
            REQUIRE(results.size() == 3);
            for (std::size_t k = 0; k < 3; ++k) {
                CHECK(results[k].whole);
                CHECK(session_json(read_session_json(results[k].text, "one")) == session_json(whole[k]));
            }
        }
    }
}

TEST_CASE("a line that was cut off anywhere costs itself and no other") {
    const std::string line = session_json(test::made_up_session(), 0);
    std::mt19937 random(9);
    for (int i = 0; i < 60; ++i) {
        const std::size_t cut = 1 + random() % (line.size() - 3);
        CAPTURE(cut);
        const auto results = split(line + line.substr(0, cut) + "\n" + line, &random);
        REQUIRE(results.size() == 3);
        CHECK(results[0].whole);
        CHECK_FALSE(results[1].whole);
        CHECK(results[1].line == 2);
        CHECK(results[2].whole);
        CHECK(results[2].line == 3);
    }
    const auto last = split(line + line.substr(0, line.size() / 2));
    REQUIRE(last.size() == 2);
    CHECK_FALSE(last[1].whole);
}

TEST_CASE("what is no result is one thing however long") {
    const auto results = split("hello\nworld\n\n" + session_json(test::made_up_empty_session(), 0));
    REQUIRE(results.size() == 2);
    CHECK_FALSE(results[0].whole);
    CHECK(results[0].text.empty());
    CHECK(results[1].whole);
    CHECK(results[1].line == 4);
    CHECK(split("").empty());
    CHECK(split(" \n\t\r\n").empty());
    CHECK(split("}\n").size() == 1);
}

TEST_CASE("a result without end is given up in bounded memory") {
    ResultSplitter splitter;
    std::vector<ResultText> out;
    const std::string piece(1 << 20, 'x');
    splitter.take("{\"a\":\"", out);
    for (int i = 0; i < 70 && out.empty(); ++i) splitter.take(piece, out);
    REQUIRE(out.size() == 1);
    CHECK_FALSE(out[0].whole);
    out.clear();
    for (int i = 0; i < 10; ++i) splitter.take(piece, out);
    splitter.take("\n" + session_json(test::made_up_empty_session(), 0), out);
    REQUIRE(out.size() == 1);
    CHECK(out[0].whole);
}
