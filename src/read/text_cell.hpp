#pragma once
// The one place that knows where a cell of delimited text ends. Lists and recordings share it.
#include <cstddef>
#include <initializer_list>
#include <string>
#include <string_view>

namespace tracehold {

inline constexpr std::size_t kLongestLine = std::size_t{1} << 20;  // bytes; beyond it a file is no table of anybody's
inline constexpr std::size_t kMostColumns = 1024;  // recorders have tens; bounds every allocation by width

struct TextCell {
    std::string_view text;        // blanks around it and enclosing quotes taken off; "" inside still doubled
    const char* begin = nullptr;  // its first character
    const char* next = nullptr;   // the delimiter or line end behind it, or the end of the text
    bool quoted = false;
    bool open = false;  // a quote was opened and never closed; next is then the end of the text
};

inline bool is_line_end(char c) { return c == '\n' || c == '\r'; }

// Behind the line end at p: CRLF counts as one. In: p is at a line end or at the end.
inline const char* after_line_end(const char* p, const char* end) {
    if (p == end) return p;
    return p + (*p == '\r' && p + 1 != end && p[1] == '\n' ? 2 : 1);
}

const char* line_end(const char* p, const char* end);

// The cell that begins at p. delimiter ' ' stands for any run of blanks and tabs; a run that ends the line belongs to
// it.
TextCell cell_at(const char* p, const char* end, char delimiter);

// Doubled quotes made single.
std::string unquoted(const TextCell& cell);

std::string_view trimmed(std::string_view text);
std::string lower_case(std::string_view text);  // ASCII letters only
bool is_one_of(std::string_view word, std::initializer_list<std::string_view> words);

}  // namespace tracehold
