#pragma once
#include <cstddef>
#include <string>
#include <vector>

#include "tracehold/report/report.hpp"

namespace tracehold {

// The figure in characters: filled columns over a line of time, a bar under each work window, dots along the threshold.
// In: width >= 40. Out: lines of at most width code points; empty where the figure has no valid value.
std::vector<std::string> picture_lines(const TraceFigure& figure, std::size_t width);

// The least of 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10 times a power of ten that is >= value. In: finite; value <= 0 gives 1.
double round_ceiling(double value);

}  // namespace tracehold
