#pragma once
// The look of all pages: one palette, one style sheet.
#include <span>
#include <string>
#include <string_view>

#include "tracehold/report/render_html.hpp"

namespace tracehold {

// One colour, in light and in dark. on: what it is drawn on. least: contrast that it has to reach there (WCAG 2.2:
// 4.5 for text, 3 for what must be seen to understand; 0 for what only helps the eye).
struct PageColor {
    std::string_view name, light, dark;  // light, dark: "#rrggbb"
    std::string_view on;                 // another colour's name
    double least = 0.0;
};
std::span<const PageColor> page_palette();

// The content of the one style block.
// title: printed at the foot of every page. Every character of it other than letters, digits and blanks is written as
// an escape of CSS, so that nothing in it can end the block.
std::string style_sheet(const PageStyle& style, std::string_view title);

// 'sha256-' and the hash of the bytes in base 64, as a Content-Security-Policy names a block.
std::string policy_hash(std::string_view bytes);

}  // namespace tracehold
