#pragma once
// Markup and text kept apart by type: what is no literal of this program and was not escaped does not compile.
#include <cstddef>
#include <string>
#include <string_view>

namespace tracehold {

// Markup written in the source of this program; nothing that was made at run time can become one.
class Literal {
public:
    template <std::size_t size>
    consteval Literal(const char (&text)[size]) : text_(text, size - 1) {}
    std::string_view text() const { return text_; }

private:
    std::string_view text_;
};

// Markup that may stand in a page: only literals and escaped text ever get in.
class Html {
public:
    Html() = default;
    Html& operator<<(Literal literal);
    Html& operator<<(const Html& other);
    const std::string& markup() const { return markup_; }

private:
    friend Html html_text(std::string_view raw, std::size_t max_chars);
    friend Html html_number(double value, int decimals);
    std::string markup_;
};

// The longest text of a paragraph or cell, and of a title, in code points; more is an attack on the reader.
inline constexpr std::size_t kLongestHtmlText = 10000;
inline constexpr std::size_t kLongestHtmlTitle = 300;

// The one escaper, for the content of elements and for attributes in quotes, in HTML and SVG alike: renders as itself.
// Control and bidi characters are shown as \xNN, and words from right to left are isolated, so that nothing turns the order
// of what follows.
Html html_text(std::string_view raw, std::size_t max_chars = kLongestHtmlText);

// A number for an attribute: at most so many decimals, no trailing zeros. In: finite.
Html html_number(double value, int decimals = 1);

// An id made of an anchor: letters, digits, - and _ of any anchor stay, all else becomes its bytes in hex. The empty
// anchor gives no id worth using.
std::string html_id(std::string_view anchor);

}  // namespace tracehold
