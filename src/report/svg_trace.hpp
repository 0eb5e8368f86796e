#pragma once
#include <vector>

#include "report/page_words.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// A trace in rows short enough to tell contractions apart, all with the same axes. Nothing where there is no value.
std::vector<Chart> trace_charts(const TraceFigure& figure, const PageWords& words);

// Every cue, onset and end in order of time with the envelope there: what the marks of the picture say.
ReportTable trace_table(const TraceFigure& figure, const PageWords& words);

}  // namespace tracehold
