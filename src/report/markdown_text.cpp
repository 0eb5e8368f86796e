#include "report/markdown_text.hpp"

#include <algorithm>

#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kLongestMarkdown = 10000;
// CommonMark 0.31, 2.4: any ASCII punctuation may be escaped by a backslash. These mean something inside a line
// somewhere.
constexpr std::string_view kSpecial = "\\`*_{}[]<>|~#&!$^";

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// What would start a list, a rule, an underlined heading or the rule of a table at the front of a line: "- ", "---", "+
// ", "===",
// ":--", "12. ", "12) ". A number such as -15.0 or 18.2 does not, and stays readable in the source.
std::size_t marker_at_front(std::string_view text) {
    const auto ends_at = [&](std::size_t i) { return i >= text.size() || text[i] == ' '; };
    if (text.starts_with('=') || text.starts_with(":-") || text.starts_with("--")) return 0;
    if ((text.starts_with('-') || text.starts_with('+')) && ends_at(1)) return 0;
    const auto digits = static_cast<std::size_t>(std::find_if_not(text.begin(), text.end(), is_digit) - text.begin());
    const bool list =
        digits > 0 && digits < text.size() && (text[digits] == '.' || text[digits] == ')') && ends_at(digits + 1);
    return list ? digits : std::string_view::npos;
}

// GFM turns these into links by itself: "www.", "http://", "https://", "ftp://" (extended autolinks) and addresses with
// "@".
bool starts_link(std::string_view text, std::size_t at) {
    const bool scheme = text[at] == ':' && text.substr(at, 3) == "://";
    const bool www = text[at] == '.' && at >= 3 && (text.substr(at - 3, 3) == "www" || text.substr(at - 3, 3) == "WWW");
    return scheme || www;
}

}  // namespace

std::string markdown_text(std::string_view raw) {
    std::string line = shown(raw, kLongestMarkdown);
    line.erase(0, std::min(line.find_first_not_of(' '), line.size()));
    const std::size_t marker = marker_at_front(line);
    std::string out;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const bool special = kSpecial.find(line[i]) != std::string_view::npos;
        if (special || i == marker || starts_link(line, i)) out += '\\';
        out += line[i];
    }
    return out;
}

}  // namespace tracehold
