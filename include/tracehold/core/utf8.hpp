#pragma once
#include <cstddef>
#include <string_view>

namespace tracehold {

inline constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

// Length of the well-formed UTF-8 sequence at the front; 0 if there is none. Overlong forms, surrogates and values beyond
// U+10FFFF are not well formed (Unicode 15, table 3-7). In: not empty.
std::size_t utf8_length(std::string_view text);

bool is_utf8(std::string_view text);

// Number of code points of well-formed text: its width in a terminal for the scripts used here.
std::size_t utf8_count(std::string_view text);

}  // namespace tracehold
