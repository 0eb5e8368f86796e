#include "tracehold/report/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr int kMostDecimals = 3;
constexpr int kMostDecimalsOfSeconds = 2;

int most_decimals(std::string_view unit) { return unit == "s" ? kMostDecimalsOfSeconds : kMostDecimals; }

// 0.0146 has its first digit at 10^-2 and begins with 1: three decimals. 0.0196 would round to 0.020: begins with 2.
int decimals_of_error(double error) {
    const int first_digit = static_cast<int>(std::floor(std::log10(error)));
    const double leading = error / std::pow(10.0, first_digit);
    return (leading < 1.95 ? 1 : 0) - first_digit;
}

int decimals_of_unit(std::string_view unit, double value) {
    const int usual = unit == "s" || unit == "%/s" ? 2 : unit == "µV" || unit == "Hz" ? 1 : 0;
    const double size = std::abs(value);
    return usual + (size > 0.0 && size < 1.0 ? 1 : 0) - (size >= 100.0 ? 1 : 0);
}

}  // namespace

int decimals_for(std::optional<double> error, std::string_view unit, double value) {
    const bool known = error && std::isfinite(*error) && *error > 0.0;
    const int wanted = known ? decimals_of_error(*error) : decimals_of_unit(unit, value);
    return std::clamp(wanted, 0, most_decimals(unit));
}

std::string quantity_text(const Estimate& value, std::string_view unit, bool with_error) {
    if (!value || !std::isfinite(*value.value)) return "–";
    const int decimals = decimals_for(value.error, unit, *value.value);
    const std::string number = with_minus(fixed_text(*value.value, decimals));
    if (!with_error || !value.error || !std::isfinite(*value.error)) return number;
    return number + " ± " + fixed_text(*value.error, decimals);
}

std::string with_minus(std::string_view text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool begins = i == 0 || text[i - 1] == ' ' || text[i - 1] == '(' || text[i - 1] == '<';
        const bool number = i + 1 < text.size() && text[i + 1] >= '0' && text[i + 1] <= '9';
        if (text[i] == '-' && begins && number)
            out += "−";
        else
            out += text[i];
    }
    return out;
}

std::string duration_text(Seconds length) {
    const auto seconds = static_cast<long long>(std::llround(std::clamp(length.value, 0.0, 1e12)));
    if (seconds < 60) return fmt::format("{} s", seconds);
    if (seconds < 3600 && seconds % 60 == 0) return fmt::format("{} min", seconds / 60);
    if (seconds < 3600) return fmt::format("{} min {} s", seconds / 60, seconds % 60);
    return fmt::format("{} h {} min", seconds / 3600, seconds % 3600 / 60);
}

std::string span_text(TimeSpan span) { return fixed_text(span.begin_s, 1) + "–" + fixed_text(span.end_s, 1) + " s"; }

}  // namespace tracehold
