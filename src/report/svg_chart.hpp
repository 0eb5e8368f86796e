#pragma once
// A Chart as an inline SVG picture that is as wide as its place: lines stretch, texts and marks keep their size.
#include <cstddef>
#include <span>

#include "report/html_text.hpp"
#include "report/page_words.hpp"
#include "tracehold/report/chart.hpp"

namespace tracehold {

// number: of the chart in its page, for ids that occur once. height: of the plot alone, px.
struct ChartPlace {
    std::size_t number = 1;
    double height = 220.0;
    int ticks_across = 10;  // about; every second is left out where the page is narrow
    int ticks_up = 4;
};

Html svg_chart(const Chart& chart, const ChartPlace& place, const PageWords& words);

// What each mark of these charts means, as a list; nothing where there is nothing to explain.
Html chart_key(std::span<const Chart> charts, const PageWords& words);

// The class of a role in the page's style sheet.
Html role_class(ChartRole role);

}  // namespace tracehold
