#include "course/figure_text.hpp"

#include <fmt/format.h>

#include <cmath>

#include "tracehold/core/number_text.hpp"

namespace tracehold {

int decimals_of(double value, std::string_view unit) {
    if (unit == "s") return 2;
    const int base = unit == "%" ? 0 : 1;
    if (value == 0.0) return base;
    return std::abs(value) < 1.0 ? base + 1 : std::abs(value) >= 100.0 ? 0 : base;
}

std::string figure(double value, std::string_view unit) { return fixed_text(value, decimals_of(value, unit)); }

std::string with_unit(double value, std::string_view unit) {
    return unit.empty() ? figure(value, unit) : fmt::format("{} {}", figure(value, unit), unit);
}

std::string signed_figure(double value, std::string_view unit) {
    const std::string text = figure(value, unit);
    return value > 0.0 && parse_number(text) != 0.0 ? "+" + text : text;
}

std::string signed_with_unit(double value, std::string_view unit) {
    return unit.empty() ? signed_figure(value, unit) : fmt::format("{} {}", signed_figure(value, unit), unit);
}

}  // namespace tracehold
