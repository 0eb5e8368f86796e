#pragma once
// From a Report to text for people. A renderer escapes every text itself; nothing in a Report is trusted.
#include <string>

#include "tracehold/report/report.hpp"

namespace tracehold {

// columns: no line is wider (counted in code points), whatever the texts hold; at least 40.
struct TextStyle {
    int columns = 80;
    bool pictures = false;  // figures drawn in characters; otherwise in words
    bool color = false;     // of severities only
};

// For a terminal: control and bidi characters in any text are shown as \xNN, never sent.
std::string render_text(const Report& report, const TextStyle& style = {});

// GitHub-flavoured Markdown without raw HTML. Figures are told in words with a table of what one would read off them.
std::string render_markdown(const Report& report);

}  // namespace tracehold
