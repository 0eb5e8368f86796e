#pragma once
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace tracehold {

// All widths in columns of a terminal (report/text_width.hpp).

// The text in lines of at most width columns, broken at blanks; a longer word is cut where it must be.
// In: well-formed UTF-8, width >= 1. Out: at least one line, none with blanks at its ends.
std::vector<std::string> wrapped(std::string_view text, std::size_t width);

// Filled up with blanks to width columns; longer text stays as it is.
std::string flush_left(std::string_view text, std::size_t width);
std::string flush_right(std::string_view text, std::size_t width);

// Columns of the longest word.
std::size_t longest_word(std::string_view text);

}  // namespace tracehold
