#pragma once
// Pieces of JSON Schema (draft 2020-12), so that the schemas read like the objects they describe.
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "exchange/enum_words.hpp"
#include "exchange/json_text.hpp"
#include "tracehold/measures/possible_range.hpp"

namespace tracehold::schema {

// Every property required but the optional ones, no other allowed.
Json object_of(const Json& properties, const std::vector<std::string_view>& optional = {});
Json list_of(const Json& items);
Json or_null(Json schema);          // of a schema with a plain "type", or of any other by anyOf
Json refer(std::string_view name);  // to a member of $defs

Json text();
Json filled_text();  // not empty
Json number();
Json number_from(double low);
Json number_within(double low, double high);
Json within(PossibleRange range);
Json microvolts();  // a possible amplitude
Json seconds();     // a possible length of time
Json whole_from(int low);
Json whole_within(int low, int high);
Json flag();
Json words(const std::vector<std::string_view>& words);

Json sha256();     // 64 lower-case hex digits
Json date();       // "2026-03-02"
Json date_time();  // ISO 8601, with or without an offset; a pattern, because 'format' is not checked by every validator
Json span();       // [begin, end]
Json code();       // snake_case
Json note();
Json made_with(Json more = Json::object());  // more: further members
Json quality();    // what was found in a signal

template <class Enum, std::size_t count>
Json words_for(const std::array<Enum, count>& values) {
    const auto list = words_of(values);
    return words({list.begin(), list.end()});
}

// The frame of a whole schema. name: "session"; major: the number after the slash.
Json document(std::string_view name, int major, std::string_view title, const Json& definitions, const Json& body);

}  // namespace tracehold::schema
