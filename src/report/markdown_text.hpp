#pragma once
#include <string>
#include <string_view>

namespace tracehold {

// The one escaper for GitHub-flavoured Markdown: text that renders as itself, on one line, wherever it is put: no
// markup, no raw HTML, no link, no table border, no list. Control and bidi characters are shown as \xNN.
std::string markdown_text(std::string_view text);

}  // namespace tracehold
