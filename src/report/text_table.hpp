#pragma once
#include <cstddef>
#include <string>
#include <vector>

#include "tracehold/report/report.hpp"

namespace tracehold {

// ¹, ², ... ¹⁰: the number of a note beside a cell.
std::string superscript(std::size_t number);

// A table in characters, no line wider than width: headers over a rule, numbers flush right, long texts wrapped in
// their column. Where even that does not fit, each row becomes a list of 'title: cell' lines. In: texts already safe to
// show. Out: lines without line breaks, without caption and notes.
std::vector<std::string> table_lines(const ReportTable& table, std::size_t width);

}  // namespace tracehold
