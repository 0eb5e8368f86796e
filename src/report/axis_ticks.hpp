#pragma once
// Where the ticks of an axis stand and what is written beside them.
#include <string>
#include <vector>

#include "report/page_words.hpp"
#include "tracehold/report/chart.hpp"

namespace tracehold {

struct Tick {
    double value = 0.0;
    std::string label;
};

// Ticks at round values inside [low, high], about so many and never more than twice that.
// linear and counts: 1, 2, 5 times a power of ten (counts: at least 1); seconds: also 15, 30, 60, 120, 300 ...; dates:
// days, then Mondays; logarithmic: powers of ten. Edges: an empty or reversed range gives none.
std::vector<Tick> axis_ticks(const Axis& axis, int about, const PageWords& words);

// A logarithmic axis moved out to whole decades; any other as it is.
Axis whole_decades(const Axis& axis);

// Where an axis from 0 ends: a little above its highest value; at 1 where there is none above 0.
double axis_top(double highest);

// 0 at low, 1 at high.
double fraction_of(const Axis& axis, double value);

}  // namespace tracehold
