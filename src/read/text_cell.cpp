#include "read/text_cell.hpp"

#include <algorithm>
#include <cstring>

namespace tracehold {
namespace {

bool is_blank(char c) { return c == ' ' || c == '\t'; }

const char* past_blanks(const char* p, const char* end, char delimiter) {
    while (p != end && is_blank(*p) && (*p != delimiter || delimiter == ' ')) ++p;
    return p;
}

bool ends_cell(const char* p, const char* end, char delimiter) {
    return p == end || is_line_end(*p) || *p == delimiter || (delimiter == ' ' && *p == '\t');
}

// Between blank-delimited cells next is the last blank of the run, so that one step leads to the next cell.
const char* before_next_cell(const char* p, const char* end, char delimiter) {
    if (delimiter != ' ') return p;
    const char* behind = past_blanks(p, end, delimiter);
    return behind == p || behind == end || is_line_end(*behind) ? behind : behind - 1;
}

// In: p at the opening quote. next == nullptr: what follows the closing quote makes it no quoted cell.
TextCell quoted_cell(const char* p, const char* end, char delimiter) {
    TextCell cell{{}, p, nullptr, true, false};
    const char* const limit = p + std::min(static_cast<std::size_t>(end - p), kLongestLine);
    for (const char* q = p + 1; q < limit; ++q) {
        if (*q != '"') continue;
        if (q + 1 != end && q[1] == '"') {
            ++q;
            continue;
        }
        const char* behind = past_blanks(q + 1, end, delimiter);
        cell.text = {p + 1, static_cast<std::size_t>(q - p - 1)};
        if (delimiter == ' ' && ends_cell(q + 1, end, delimiter)) cell.next = before_next_cell(q + 1, end, delimiter);
        if (delimiter != ' ' && ends_cell(behind, end, delimiter)) cell.next = behind;
        return cell;
    }
    cell.open = true;
    cell.text = {p + 1, static_cast<std::size_t>(end - p - 1)};
    cell.next = end;
    return cell;
}

}  // namespace

const char* line_end(const char* p, const char* end) {
    while (p != end && !is_line_end(*p)) ++p;
    return p;
}

TextCell cell_at(const char* p, const char* end, char delimiter) {
    p = past_blanks(p, end, delimiter);
    if (p != end && *p == '"') {
        const TextCell cell = quoted_cell(p, end, delimiter);
        if (cell.next) return cell;
    }
    const char* q = p;
    while (!ends_cell(q, end, delimiter)) ++q;
    return {trimmed({p, static_cast<std::size_t>(q - p)}), p, before_next_cell(q, end, delimiter), false, false};
}

std::string unquoted(const TextCell& cell) {
    std::string text(cell.text);
    if (!cell.quoted) return text;
    for (std::size_t at = text.find("\"\""); at != std::string::npos; at = text.find("\"\"", at + 1)) text.erase(at, 1);
    return text;
}

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
    while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
    return text;
}

std::string lower_case(std::string_view text) {
    std::string lower(text);
    for (char& c : lower) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    return lower;
}

bool is_one_of(std::string_view word, std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

}  // namespace tracehold
