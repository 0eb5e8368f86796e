#pragma once
// Strict reading of JSON files that people write: nothing is guessed, every refusal names its place.
#include <cstddef>
#include <limits>
#include <nlohmann/json.hpp>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/error.hpp"

namespace tracehold {

using Json = nlohmann::ordered_json;  // keeps the order of the file

// Our choices: plans, scenarios and rules are a few KiB and nest a few levels; more is a mistake or an attack.
struct JsonLimits {
    std::size_t bytes = std::size_t{1} << 20;
    std::size_t depth = 64;
    std::size_t keys = 1024;  // of one object: look-up is linear
};

// In: JSON text (RFC 8259), with // and /* */ comments. Out: the value; no object in it has a key twice.
// Errors: malformed (not JSON, with line:column; a key twice or too deep, with the JSON pointer), unsupported (over the
// size limit).
Json parse_json(std::string_view text, const std::string& source, const JsonLimits& limits = {});

// Inclusive limits of a number.
struct NumberRange {
    double low = std::numeric_limits<double>::lowest();
    double high = std::numeric_limits<double>::max();
};

// "a number from 0 to 7", "a number of at least 0", "a number".
std::string range_text(NumberRange range);

// Hands out the members of one object by name and remembers which were asked for; done() refuses the rest.
// Each error is of kind bad_setting and has the JSON pointer of the member as its place.
// 'optional_' gives an empty result where the member is absent; a null is an error but for 'nullable_'.
// The Json must outlive the Fields.
class Fields {
public:
    // Error: value is no object. pointer: of value, "" for the whole text.
    Fields(const Json& value, std::string source, std::string pointer = {});

    double number(std::string_view key, NumberRange range = {});
    std::optional<double> optional_number(std::string_view key, NumberRange range = {});
    std::optional<double> nullable_number(std::string_view key);  // must be there; null = empty
    long long whole(std::string_view key, long long low, long long high);
    std::optional<long long> optional_whole(std::string_view key, long long low, long long high);
    bool flag(std::string_view key);
    std::optional<bool> optional_flag(std::string_view key);
    std::string text(std::string_view key);
    std::optional<std::string> optional_text(std::string_view key);
    std::optional<std::string> nullable_text(std::string_view key);
    std::size_t choice(std::string_view key, std::span<const std::string_view> words);  // index of the text in words
    Fields object(std::string_view key);
    std::optional<Fields> optional_object(std::string_view key);  // also empty for null
    std::vector<Fields> objects(std::string_view key);            // a list of objects; absent is an error, [] is not
    std::vector<std::string> texts(std::string_view key);         // a list of texts; absent = empty
    std::vector<double> numbers(std::string_view key);            // a list of numbers; absent = empty

    bool has(std::string_view key) const;           // and is not null
    const Json* find(std::string_view key);         // the member as it is, null pointer if absent; counts as asked for
    const Json& required(std::string_view key);     // the same; absent is an error
    std::vector<std::string> keys() const;          // in the order of the file, for objects whose keys are data
    std::string place(std::string_view key) const;  // JSON pointer (RFC 6901) of a member
    const std::string& pointer() const { return pointer_; }
    const std::string& source() const { return source_; }

    // Throws bad_setting at the member: "'key' <what is wrong>".
    [[noreturn]] void refuse(std::string_view key, const std::string& what, const std::string& hint = {}) const;

    // Refuses members nobody asked for, with the nearest name that was.
    void done() const;

private:
    const Json* value_;
    std::string source_;
    std::string pointer_;
    std::vector<std::string> asked_;
};

// What stands there, for messages: "3.5", "'lying'", "an object", "a list", "null".
std::string shown_json(const Json& value);

}  // namespace tracehold
