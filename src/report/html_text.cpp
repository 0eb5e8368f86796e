#include "report/html_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "report/text_width.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"

namespace tracehold {
namespace {

std::string_view escape_of(char c) {
    switch (c) {
        case '&': return "&amp;";
        case '<': return "&lt;";
        case '>': return "&gt;";
        case '"': return "&quot;";
        case '\'': return "&#39;";
        default: return {};
    }
}

bool is_plain(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
}

// Of the words from right to left at the front, with the blanks between them. In: well-formed UTF-8.
std::size_t right_to_left_length(std::string_view text) {
    std::size_t length = 0;
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t next = std::max<std::size_t>(1, utf8_length(text.substr(i)));
        const bool turned = next > 1 && is_right_to_left(code_point(text.substr(i, next)));
        if (!turned && (length == 0 || text[i] != ' ')) break;
        i += next;
        if (turned) length = i;
    }
    return length;
}

}  // namespace

Html& Html::operator<<(Literal literal) {
    markup_ += literal.text();
    return *this;
}

Html& Html::operator<<(const Html& other) {
    markup_ += other.markup_;
    return *this;
}

Html html_text(std::string_view raw, std::size_t max_chars) {
    const std::string safe = shown(raw, max_chars);
    Html out;
    for (std::string_view rest = safe; !rest.empty();) {
        const std::size_t turned = right_to_left_length(rest);
        if (turned > 0) {
            out.markup_ += "&#x2068;";  // isolated: a name of another direction leaves the order of the date behind it alone
            out.markup_ += rest.substr(0, turned);
            out.markup_ += "&#x2069;";
            rest.remove_prefix(turned);
            continue;
        }
        const std::string_view escape = escape_of(rest[0]);
        const std::size_t length = std::max<std::size_t>(1, utf8_length(rest));
        out.markup_ += escape.empty() ? rest.substr(0, length) : escape;
        rest.remove_prefix(length);
    }
    return out;
}

Html html_number(double value, int decimals) {
    Html out;
    out.markup_ = fixed_text(value, decimals);
    if (out.markup_.find('.') != std::string::npos) {
        while (out.markup_.back() == '0') out.markup_.pop_back();
        if (out.markup_.back() == '.') out.markup_.pop_back();
    }
    return out;
}

std::string html_id(std::string_view anchor) {
    std::string id = "def-";
    for (const char c : anchor) {
        if (is_plain(c))
            id += c;
        else
            id += fmt::format(".{:02X}", static_cast<unsigned char>(c));
    }
    return id;
}

}  // namespace tracehold
