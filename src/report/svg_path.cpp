#include "report/svg_path.hpp"

#include <algorithm>
#include <cmath>

#include "report/axis_ticks.hpp"

namespace tracehold {
namespace {

// Stretches without a NaN in any of the given, as [begin, end).
template <class Visit>
void each_run(std::size_t size, const auto& known, Visit visit) {
    for (std::size_t i = 0; i < size;) {
        if (!known(i)) {
            ++i;
            continue;
        }
        const std::size_t begin = i;
        while (i < size && known(i)) ++i;
        visit(begin, i);
    }
}

void point(Html& path, const PlotScale& scale, float x, float y) {
    const double across = std::clamp(fraction_of(scale.x, x), -0.02, 1.02);
    path << html_number(kPathWidth * across) << " " << html_number(pixel_up(scale, y));
}

void run(Html& path, const PlotScale& scale, std::span<const float> x, std::span<const float> y) {
    for (std::size_t i = 0; i < x.size(); ++i) {
        if (i > 0) path << " ";
        point(path, scale, x[i], y[i]);
    }
}

}  // namespace

double pixel_up(const PlotScale& scale, double value) {
    return scale.height * (1.0 - std::clamp(fraction_of(scale.y, value), -0.05, 1.05));
}

Html line_path(const PlotScale& scale, const ChartLine& line) {
    Html path;
    const auto known = [&](std::size_t i) { return !std::isnan(line.y[i]); };
    each_run(line.x.size(), known, [&](std::size_t begin, std::size_t end) {
        const std::size_t size = end - begin;
        path << "M";
        run(path, scale, std::span(line.x).subspan(begin, size), std::span(line.y).subspan(begin, size));
        if (size == 1) path << "h0";  // a lone value shows as a dot
    });
    return path;
}

Html area_to_axis(const PlotScale& scale, const ChartLine& line) {
    Html path;
    const auto known = [&](std::size_t i) { return !std::isnan(line.y[i]); };
    each_run(line.x.size(), known, [&](std::size_t begin, std::size_t end) {
        const auto floor = html_number(scale.height);
        const auto at = [&](std::size_t i) { return html_number(kPathWidth * fraction_of(scale.x, line.x[i])); };
        path << "M" << at(begin) << " " << floor << "L";
        run(path, scale, std::span(line.x).subspan(begin, end - begin), std::span(line.y).subspan(begin, end - begin));
        path << "V" << floor << "Z";
    });
    return path;
}

Html area_between(const PlotScale& scale, std::span<const float> x, std::span<const float> low,
                  std::span<const float> high) {
    Html path;
    const auto known = [&](std::size_t i) { return !std::isnan(low[i]) && !std::isnan(high[i]); };
    each_run(x.size(), known, [&](std::size_t begin, std::size_t end) {
        path << "M";
        run(path, scale, x.subspan(begin, end - begin), high.subspan(begin, end - begin));
        for (std::size_t i = end; i-- > begin;) {
            path << " ";
            point(path, scale, x[i], low[i]);
        }
        path << "Z";
    });
    return path;
}

}  // namespace tracehold
