#include "report/html_text.hpp"

#include <fmt/format.h>

#include "tracehold/core/number_text.hpp"

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
    Html out;
    for (const char c : shown(raw, max_chars)) {
        const std::string_view escape = escape_of(c);
        if (escape.empty())
            out.markup_ += c;
        else
            out.markup_ += escape;
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
