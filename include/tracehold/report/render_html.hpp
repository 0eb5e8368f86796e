#pragma once
// From a Report to one page that needs nothing else: no script, no font, no image, no request.
#include <string>
#include <string_view>

#include "tracehold/report/report.hpp"

namespace tracehold {

enum class Paper { a4, letter };

struct PageStyle {
    Paper paper = Paper::a4;
    bool large_type = false;   // for those who read it at home
    bool small_print = false;  // half a sheet, for those who file it
};

// Valid HTML with all texts escaped, drawn charts with their figures as tables, light or dark as the reader's device
// asks, always light on paper. Its policy allows the one style block by its hash and nothing else. The title stands on
// every printed page.
// Edges: control and bidi characters in any text are shown as \xNN; texts end after 10,000 characters, titles after
// 300; links lead to definitions that the report holds, others are left out. The same report gives the same bytes.
std::string render_html(const Report& report, const PageStyle& style = {});

// Whether a page that render_html made is for this paper.
bool is_printed_on(std::string_view page, Paper paper);

}  // namespace tracehold
