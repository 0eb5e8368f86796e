#pragma once
// How wide text stands in a terminal.
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace tracehold {

// In: one well-formed sequence of UTF-8.
std::uint32_t code_point(std::string_view sequence);

// Columns of well-formed text: two for each wide character (Chinese, Japanese, Korean, pictures), none for a mark that stands
// on the character before it. The blocks of Unicode where such characters lie (Unicode Standard Annex 11; from memory), whole:
// single exceptions within them cost a column.
std::size_t text_columns(std::string_view text);

// Of a script that runs from right to left (Hebrew, Arabic and their like: Unicode Standard Annex 9, default classes; from
// memory).
bool is_right_to_left(std::uint32_t code);

}  // namespace tracehold
