#pragma once
// Data as paths. Across, 1000 units are the width of the plot whatever its size; up, a unit is a pixel.
#include <span>

#include "report/html_text.hpp"
#include "tracehold/report/chart.hpp"

namespace tracehold {

inline constexpr double kPathWidth = 1000.0;

struct PlotScale {
    const Axis& x;
    const Axis& y;
    double height = 0.0;
};

// y of the plot, px from its top; clamped just outside the plot.
double pixel_up(const PlotScale& scale, double value);

// The d attributes; empty where nothing is known.
Html line_path(const PlotScale& scale, const ChartLine& line);
Html area_to_axis(const PlotScale& scale, const ChartLine& line);
Html area_between(const PlotScale& scale, std::span<const float> x, std::span<const float> low,
                  std::span<const float> high);

}  // namespace tracehold
