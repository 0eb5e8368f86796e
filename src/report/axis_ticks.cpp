#include "report/axis_ticks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <span>

#include "tracehold/core/number_text.hpp"
#include "tracehold/report/quantity.hpp"

namespace tracehold {
namespace {

constexpr double kNear = 1e-9;  // of a step: rounding of sums must not lose the last tick

constexpr double kRoom = 1.3;       // a few ticks more than asked for beat half as many
constexpr double kDateWidth = 1.5;  // of a label, against a number's
constexpr double kMonthWidth = 2.2;

double decimal_step(double about) {
    const double power = std::pow(10.0, std::floor(std::log10(about)));
    for (const double step : {1.0, 2.0, 5.0}) {
        if (about <= step * power * (1.0 + kNear)) return step * power;
    }
    return 10.0 * power;
}

double listed_step(double about, std::span<const double> steps) {
    for (const double step : steps) {
        if (about <= kRoom * step) return step;
    }
    return steps.back() * std::ceil(about / steps.back());
}

double step_of(const Axis& axis, int about) {
    static constexpr std::array kSeconds = {1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1800.0, 3600.0};
    static constexpr std::array kDays = {1.0, 2.0, 7.0, 14.0, 28.0, 56.0, 91.0, 182.0, 364.0};
    static constexpr std::array kMonths = {1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 60.0, 120.0};
    const double wanted = (axis.high - axis.low) / about;
    switch (axis.scale) {
        case AxisScale::seconds: return wanted < 1.0 ? decimal_step(wanted) : listed_step(wanted, kSeconds);
        case AxisScale::dates: return listed_step(kDateWidth * wanted, kDays);
        case AxisScale::months: return listed_step(kMonthWidth * wanted, kMonths);
        case AxisScale::counts: return std::max(1.0, decimal_step(wanted));
        case AxisScale::linear: return decimal_step(wanted);
        case AxisScale::logarithmic: break;
    }
    return 1.0;
}

// 1970-01-05 was a Monday: weeks begin there.
double origin_of(const Axis& axis, double step) { return axis.scale == AxisScale::dates && step >= 7.0 ? 4.0 : 0.0; }

std::string in_language(std::string text, const PageWords& words) {
    if (const auto at = text.find('.'); at != std::string::npos) text.replace(at, 1, words.decimal_mark);
    return text;
}

std::string date_label(double day, const PageWords& words) {
    const std::chrono::year_month_day date{std::chrono::sys_days{std::chrono::days{std::llround(day)}}};
    const std::string_view month = words.months[static_cast<unsigned>(date.month()) - 1];
    return fmt::format(fmt::runtime(words.day_month), static_cast<unsigned>(date.day()), month);
}

// 2026-03: the same in every language.
std::string month_label(double value) {
    const long long month = std::llround(value);
    return fmt::format("{:04}-{:02}", month / 12, month % 12 + 1);
}

std::string label_of(const Axis& axis, double value, double step, const PageWords& words) {
    if (axis.scale == AxisScale::dates) return date_label(value, words);
    if (axis.scale == AxisScale::months) return month_label(value);
    const int decimals = static_cast<int>(std::clamp(-std::floor(std::log10(step) + kNear), 0.0, 6.0));
    return with_minus(in_language(fixed_text(value, decimals), words));
}

std::vector<Tick> decade_ticks(const Axis& axis, const PageWords& words) {
    std::vector<Tick> ticks;
    const double first = std::ceil(std::log10(axis.low) - kNear), last = std::floor(std::log10(axis.high) + kNear);
    for (double decade = first; decade <= last; ++decade) {
        const double value = std::pow(10.0, decade);
        ticks.push_back({value, label_of(axis, value, value, words)});
    }
    return ticks;
}

}  // namespace

std::vector<Tick> axis_ticks(const Axis& axis, int about, const PageWords& words) {
    if (!(axis.low < axis.high) || !std::isfinite(axis.high - axis.low)) return {};
    if (axis.scale == AxisScale::logarithmic) return decade_ticks(axis, words);
    const double step = step_of(axis, about), origin = origin_of(axis, step);
    std::vector<Tick> ticks;
    for (double k = std::ceil((axis.low - origin) / step - kNear); origin + k * step <= axis.high + kNear * step; ++k) {
        ticks.push_back({origin + k * step, label_of(axis, origin + k * step, step, words)});
    }
    return ticks;
}

Axis whole_decades(const Axis& axis) {
    Axis out = axis;
    if (axis.scale != AxisScale::logarithmic || !(axis.low < axis.high)) return out;
    out.low = std::pow(10.0, std::floor(std::log10(axis.low) + kNear));
    out.high = std::pow(10.0, std::ceil(std::log10(axis.high) - kNear));
    return out;
}

double axis_top(double highest) { return highest > 0.0 ? 1.05 * highest : 1.0; }

double fraction_of(const Axis& axis, double value) {
    if (!(axis.low < axis.high)) return 0.0;
    if (axis.scale != AxisScale::logarithmic) return (value - axis.low) / (axis.high - axis.low);
    const double low = std::log(axis.low);
    return (std::log(std::max(value, axis.low)) - low) / (std::log(axis.high) - low);
}

}  // namespace tracehold
