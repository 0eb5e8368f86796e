#include "read/time_stamp.hpp"

#include <array>

#include "read/decimal.hpp"

namespace tracehold {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// One to most digits off the front; -1 if there is none or more.
int take_digits(std::string_view& text, std::size_t most) {
    int value = 0;
    std::size_t count = 0;
    for (; !text.empty() && is_digit(text[0]); text.remove_prefix(1)) {
        if (++count > most) return -1;
        value = 10 * value + (text[0] - '0');
    }
    return count == 0 ? -1 : value;
}

bool take(std::string_view& text, char c) {
    const bool here = !text.empty() && text[0] == c;
    if (here) text.remove_prefix(1);
    return here;
}

// Three whole numbers between two equal separators.
std::optional<std::array<int, 3>> three_parts(std::string_view text, char separator) {
    std::array<int, 3> part{};
    part[0] = take_digits(text, 4);
    const bool first = take(text, separator);
    part[1] = take_digits(text, 2);
    const bool second = take(text, separator);
    part[2] = take_digits(text, 4);
    if (!first || !second || !text.empty() || part[0] < 0 || part[1] < 0 || part[2] < 0) return std::nullopt;
    return part;
}

std::optional<std::chrono::sys_days> day_of(int year, int month, int day) {
    using namespace std::chrono;
    const year_month_day date{std::chrono::year{year}, std::chrono::month{static_cast<unsigned>(month)},
                              std::chrono::day{static_cast<unsigned>(day)}};
    if (year < 1000 || !date.ok()) return std::nullopt;
    return sys_days{date};
}

// The date in front and the blank or 'T' behind it, if there is one; false if what is there is no date.
bool take_date(std::string_view& text, Stamp& stamp) {
    const std::size_t space = text.find_first_of("T ");
    if (space == std::string_view::npos) return true;
    const std::string_view date = text.substr(0, space);
    stamp.day = parse_day(date);
    if (!stamp.day && !three_parts(date, '/')) return false;
    text.remove_prefix(space + 1);
    while (take(text, ' ')) {
    }
    return true;
}

// Z, +01:00 or +0100 at the end.
bool take_offset(std::string_view text, Stamp& stamp) {
    using namespace std::chrono;
    if (text.empty()) return true;
    if (text == "Z" || text == "z") {
        stamp.utc_offset = minutes{0};
        return true;
    }
    const bool minus = take(text, '-');
    if (!minus && !take(text, '+')) return false;
    std::string_view hour_text = text.substr(0, 2);
    text.remove_prefix(hour_text.size());
    take(text, ':');
    const int hour = take_digits(hour_text, 2), minute = text.empty() ? 0 : take_digits(text, 2);
    if (hour < 0 || hour > 14 || minute < 0 || minute > 59 || !text.empty()) return false;
    const minutes size = hours{hour} + minutes{minute};
    stamp.utc_offset = minus ? -size : size;
    return true;
}

// Seconds with their fraction, two digits in front of it.
std::optional<double> take_seconds(std::string_view& text) {
    std::size_t size = 0;
    while (size < text.size() && is_digit(text[size])) ++size;
    if (size == 0 || size > 2) return std::nullopt;
    const bool fraction =
        size + 1 < text.size() && (text[size] == '.' || text[size] == ',') && is_digit(text[size + 1]);
    const char mark = fraction ? text[size] : '.';
    if (fraction) ++size;
    while (fraction && size < text.size() && is_digit(text[size])) ++size;
    const auto value = decimal_value(text.substr(0, size), mark);
    text.remove_prefix(size);
    return value && *value < 61.0 ? value : std::nullopt;  // 60: a leap second
}

}  // namespace

std::optional<std::chrono::sys_days> parse_day(std::string_view text) {
    if (const auto iso = three_parts(text, '-'); iso && text.size() == 10)
        return day_of((*iso)[0], (*iso)[1], (*iso)[2]);
    if (const auto dotted = three_parts(text, '.')) return day_of((*dotted)[2], (*dotted)[1], (*dotted)[0]);
    return std::nullopt;
}

std::optional<Stamp> parse_stamp(std::string_view text) {
    Stamp stamp;
    if (text.size() > 64 || text.find(':') == std::string_view::npos || !take_date(text, stamp)) return std::nullopt;
    const int first = take_digits(text, 2);
    if (first < 0 || !take(text, ':')) return std::nullopt;
    std::string_view rest = text;
    const int second = take_digits(rest, 2);
    const bool has_hours = second >= 0 && take(rest, ':');
    if (has_hours) text = rest;
    const auto seconds = take_seconds(text);
    const int hour = has_hours ? first : 0, minute = has_hours ? second : first;
    if (!seconds || hour > 23 || minute > 59 || !take_offset(text, stamp)) return std::nullopt;
    stamp.clock_s = 3600.0 * hour + 60.0 * minute + *seconds;
    return stamp;
}

}  // namespace tracehold
