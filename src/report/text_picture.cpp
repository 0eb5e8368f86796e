// Idea: each character column stands for an equal stretch of time and shows its highest value in eighths of a
// character, so that no peak is lost; zero is the base line.
#include "report/text_picture.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "report/text_width.hpp"
#include "report/wrap_text.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kRows = 8;     // our choice: 64 levels, and half a screen is left
constexpr std::size_t kAxisWidth = 8;   // for the numbers of the vertical axis
constexpr std::size_t kWidest = 68;  // columns of the drawing
constexpr std::array<const char*, 9> kEighths = {" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};

struct Columns {
    std::vector<double> peaks;  // NaN: no valid value
    double seconds = 0.0;       // of one column
    double top = 1.0;           // of the vertical axis
};

Columns columns_of(const TraceFigure& figure, std::size_t count) {
    Columns columns{std::vector<double>(count, std::numeric_limits<double>::quiet_NaN()), 0.0, 1.0};
    const double length_s = figure.step_s * static_cast<double>(figure.y.size());
    columns.seconds = length_s / static_cast<double>(count);
    double highest = figure.threshold.value_or(0.0);
    for (std::size_t i = 0; i < figure.y.size(); ++i) {
        if (std::isnan(figure.y[i])) continue;
        double& peak = columns.peaks[i * count / figure.y.size()];
        if (std::isnan(peak) || figure.y[i] > peak) peak = figure.y[i];
        highest = std::max(highest, peak);
    }
    columns.top = round_ceiling(highest);
    return columns;
}

// Row 0 is the lowest.
const char* mark_at(const Columns& columns, const TraceFigure& figure, std::size_t column, std::size_t row) {
    const double per_row = columns.top / static_cast<double>(kRows);
    const double peak = columns.peaks[column];
    if (std::isnan(peak) && row == 0) return "░";
    const double above = std::isnan(peak) ? 0.0 : peak / per_row - static_cast<double>(row);
    const auto eighths = static_cast<std::size_t>(std::clamp(std::round(8.0 * above), 0.0, 8.0));
    const bool on_threshold = figure.threshold && std::floor(*figure.threshold / per_row) == static_cast<double>(row);
    return eighths == 0 && on_threshold ? "┄" : kEighths[eighths];
}

// A column belongs to a window if the middle of either lies in the other: short windows are never lost.
std::string cue_bars(const TraceFigure& figure, const Columns& columns) {
    std::string bars;
    for (std::size_t i = 0; i < columns.peaks.size(); ++i) {
        const double begin = static_cast<double>(i) * columns.seconds, end = begin + columns.seconds;
        const auto touches = [&](TimeSpan work) {
            const double middle = 0.5 * (work.begin_s + work.end_s), centre = 0.5 * (begin + end);
            return (middle >= begin && middle < end) || (centre >= work.begin_s && centre < work.end_s);
        };
        bars += std::any_of(figure.work.begin(), figure.work.end(), touches) ? "▀" : " ";
    }
    bars.erase(bars.find_last_not_of(' ') + 1);
    return bars;
}

std::string time_axis(const Columns& columns) {
    const double length_s = columns.seconds * static_cast<double>(columns.peaks.size());
    const double step_s = round_ceiling(length_s / 5.0);
    std::string axis;
    for (int tick = 0; tick * step_s < length_s; ++tick) {
        const double t = tick * step_s;
        const std::string label = number_text(std::round(1e6 * t) / 1e6);
        const auto at = static_cast<std::size_t>(t / columns.seconds);
        if (at < text_columns(axis) + (axis.empty() ? 0 : 1)) continue;
        if (at + text_columns(label) + 2 > columns.peaks.size()) break;
        axis = flush_left(axis, at) + label;
    }
    return axis + " s";
}

// The unit is left out where it would break the margin.
std::string top_label(double top, const std::string& unit) {
    const std::string with_unit = number_text(top) + " " + shown(unit, kAxisWidth);
    return unit.empty() || text_columns(with_unit) > kAxisWidth - 2 ? number_text(top) : with_unit;
}

std::string legend(const TraceFigure& figure, const Columns& columns) {
    const bool gaps =
        std::any_of(columns.peaks.begin(), columns.peaks.end(), [](double peak) { return std::isnan(peak); });
    std::string text;
    const auto add = [&](const char* words) { text += (text.empty() ? "" : "   ") + std::string(words); };
    if (!figure.work.empty()) add("▀ work");
    if (figure.threshold) add("┄ threshold");
    if (gaps) add("░ masked");
    return text;
}

}  // namespace

double round_ceiling(double value) {
    if (!(value > 0.0)) return 1.0;
    const double power = std::pow(10.0, std::floor(std::log10(value)));
    for (const double step : {1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0}) {
        if (value <= step * power * (1.0 + 1e-9)) return step * power;
    }
    return 10.0 * power;
}

std::vector<std::string> picture_lines(const TraceFigure& figure, std::size_t width) {
    const Columns columns = columns_of(figure, std::min(kWidest, width - kAxisWidth));
    const bool empty =
        std::all_of(columns.peaks.begin(), columns.peaks.end(), [](double peak) { return std::isnan(peak); });
    if (empty || figure.step_s <= 0.0) return {};
    std::vector<std::string> lines;
    for (std::size_t row = kRows; row-- > 0;) {
        std::string label;
        if (row == kRows - 1) label = top_label(columns.top, figure.y_unit);
        if (row == kRows / 2 - 1) label = number_text(columns.top / 2.0);
        std::string line = flush_right(label, kAxisWidth - 2) + " │";
        for (std::size_t i = 0; i < columns.peaks.size(); ++i) line += mark_at(columns, figure, i, row);
        line.erase(line.find_last_not_of(' ') + 1);
        lines.push_back(line);
    }
    if (!figure.work.empty()) lines.push_back(std::string(kAxisWidth, ' ') + cue_bars(figure, columns));
    lines.push_back(std::string(kAxisWidth, ' ') + time_axis(columns));
    const std::string marks = legend(figure, columns);
    if (!marks.empty()) lines.push_back(std::string(kAxisWidth, ' ') + marks);
    return lines;
}

}  // namespace tracehold
