#pragma once
#include <string>
#include <string_view>

namespace tracehold {

// ASCII letters only.
std::string lower_letters(std::string_view text);

// Whether a text is made of words of the trade alone, with at most one number of two digits: it can name nobody.
bool is_plain(std::string_view text);

// Whether a text is a word that readers and this program use for places in a file or plan.
bool is_place_word(std::string_view word);

}  // namespace tracehold
