#include "core/json_fields.hpp"

#include <doctest/doctest.h>

#include <array>
#include <functional>
#include <string>

using namespace tracehold;

namespace {

std::string refusal(const std::function<void()>& action) {
    try {
        action();
    } catch (const Error& error) {
        return std::string(to_string(error.kind)) + " " + error.what();
    }
    return "accepted";
}

std::string refusal_of_text(std::string_view text) {
    return refusal([&] { parse_json(text, "p.json"); });
}

}  // namespace

TEST_CASE("JSON with comments keeps the order of its keys") {
    const Json json = parse_json("// why\n{\"b\": 1, /* and */ \"a\": [true, null]}", "p.json");
    CHECK(json.dump() == R"({"b":1,"a":[true,null]})");
}

TEST_CASE("what is not JSON is refused with line and column") {
    CHECK(refusal_of_text("{\"a\": 1,\n \"b\" 2}") == "malformed p.json:2:6: not JSON: saw '2}', expected ':'");
    CHECK(refusal_of_text("") ==
          "malformed p.json:1:1: not JSON: saw the end of the text, expected '[', '{', or a literal");
    CHECK(refusal_of_text("{\"a\": 1") == "malformed p.json:1:8: not JSON: saw the end of the text, expected '}'");
    CHECK(refusal_of_text("{\"\xC2\xB5\": x}") == "malformed p.json:1:7: not JSON: saw 'x}', expected JSON");
    CHECK(refusal_of_text("{\"a\": \"\xB5V\"}")
              .find("malformed p.json:1:8: not JSON: saw '\\xB5V\"}', expected a text") == 0);
    CHECK(refusal_of_text("{\"a\": NaN}").find("malformed p.json:1:7: not JSON") == 0);
    CHECK(refusal_of_text("{} {}").find("malformed p.json:1:4: not JSON: saw '{}'") == 0);
}

TEST_CASE("a key twice is refused at its place") {
    CHECK(refusal_of_text(R"({"steps": [{"do": 1}, {"do": 1, "do": 2}]})") ==
          "malformed p.json:/steps/1/do: the same key twice: saw 'do' again, expected each key once");
    CHECK(refusal_of_text(R"({"a": {"x": 1}, "b": {"x": 1}})") == "accepted");
    CHECK(refusal_of_text(R"({"a": {"x": 1}, "a": 2})").find("p.json:/a:") != std::string::npos);
}

TEST_CASE("depth and size have limits") {
    const auto nested = [](std::size_t levels) { return std::string(levels, '[') + std::string(levels, ']'); };
    CHECK(refusal_of_text(nested(64)) == "accepted");
    CHECK(refusal_of_text(nested(65)) ==
          "malformed p.json:/0/0/0/0/0/0/0/0/0/0/0/0.../0/0/0/0/0/0/0/0/0/0/0/0: nested too deeply: saw more than 64 levels, "
          "expected at most 64");
    CHECK(refusal_of_text(std::string(200000, '[')).find("nested too deeply") != std::string::npos);
    CHECK(refusal_of_text("\"" + std::string((1 << 20) - 2, 'x') + "\"") == "accepted");
    CHECK(refusal_of_text("\"" + std::string((1 << 20) - 1, 'x') + "\"") ==
          "unsupported p.json: too large: saw 1048577 bytes, expected at most 1048576");
    std::string many = "{\"k0\": 0";
    for (int i = 1; i <= 1024; ++i) many += ", \"k" + std::to_string(i) + "\": 0";
    CHECK(refusal_of_text(many + "}").find("too many keys in one object") != std::string::npos);
}

TEST_CASE("a number beyond double is refused and not taken for infinity") {
    CHECK(refusal_of_text(R"({"steps": [1, {"seconds": 1e999}]})")
              .find("malformed p.json:/steps/1/seconds: a number that does") == 0);
}

TEST_CASE("fields come out as what they are asked for") {
    const Json json = parse_json(
        R"({"n": 2.5, "w": 3.0, "f": false, "t": "x", "o": {"k": 1}, "list": ["a", "b"], "nums": [1, 2.5],
            "null": null})",
        "p.json");
    Fields fields(json, "p.json");
    CHECK(fields.number("n") == 2.5);
    CHECK(fields.whole("w", 0, 9) == 3);
    CHECK(fields.flag("f") == false);
    CHECK(fields.text("t") == "x");
    CHECK(fields.object("o").whole("k", 1, 1) == 1);
    CHECK(fields.texts("list") == std::vector<std::string>{"a", "b"});
    CHECK(fields.numbers("nums") == std::vector<double>{1.0, 2.5});
    CHECK(!fields.nullable_number("null"));
    CHECK(!fields.nullable_text("null"));
    CHECK(!fields.optional_object("null"));
    CHECK(!fields.optional_number("absent"));
    CHECK(!fields.has("null"));
    CHECK(fields.texts("absent").empty());
    fields.done();
}

TEST_CASE("each refusal names its place and what was seen and what was expected") {
    const Json json =
        parse_json(R"({"times": 2.5, "big": 99, "word": "hodl", "list": [1], "a/b": "x", "n": null})", "p.json");
    Fields fields(json, "p.json", "/steps/0");
    const std::array<std::string_view, 2> words = {"hold", "rest"};
    CHECK(refusal([&] { fields.whole("times", 1, 100); }) ==
          "bad_setting p.json:/steps/0/times: 'times' is not usable: saw 2.5, expected a whole number from 1 to 100");
    CHECK(refusal([&] {
              fields.number("big", {0.1, 60});
          }) == "bad_setting p.json:/steps/0/big: 'big' is not usable: saw 99, expected a number from 0.1 to 60");
    CHECK(refusal([&] { fields.number("a/b"); }) ==
          "bad_setting p.json:/steps/0/a~1b: 'a/b' is not usable: saw 'x', expected a number");
    CHECK(refusal([&] { fields.optional_number("n"); }).find("saw null, expected a number") != std::string::npos);
    CHECK(refusal([&] { fields.choice("word", words); }) ==
          "bad_setting p.json:/steps/0/word: 'word' is not known: saw 'hodl', expected one of hold, rest; did you mean "
          "'hold'?");
    CHECK(refusal([&] { fields.texts("list"); }).find("saw a list, expected a list of texts") != std::string::npos);
    CHECK(refusal([&] { fields.text("wrod"); }) ==
          "bad_setting p.json:/steps/0/wrod: 'wrod' is missing: saw 'word', expected 'wrod'");
    CHECK(refusal([&] { fields.flag("quiet"); }) ==
          "bad_setting p.json:/steps/0/quiet: 'quiet' is missing");
    CHECK(refusal([&] { Fields(json["big"], "p.json", "/big"); }) ==
          "bad_setting p.json:/big: not an object: saw 99, expected {...}");
}

TEST_CASE("a key nobody asked for is refused with the nearest that was") {
    const Json json = parse_json(R"({"seconds": 8, "secnds": 8})", "p.json");
    Fields fields(json, "p.json");
    fields.number("seconds");
    fields.optional_number("rest_seconds");
    CHECK(refusal([&] { fields.done(); }) ==
          "bad_setting p.json:/secnds: a key that is not known: saw 'secnds', expected one of seconds, rest_seconds; "
          "did you "
          "mean 'seconds'?");
}
