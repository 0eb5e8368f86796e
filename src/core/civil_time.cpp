#include "tracehold/core/civil_time.hpp"

#include <fmt/format.h>

#include <charconv>

namespace tracehold {
namespace {

using namespace std::chrono;

// Reads parts of a text from the left; after the first part that does not fit, ok stays false.
struct Scanner {
    std::string_view rest;
    bool ok = true;

    int digits(std::size_t count) {
        int value = 0;
        if (rest.size() < count) ok = false;
        for (std::size_t i = 0; ok && i < count; ++i) {
            if (rest[i] < '0' || rest[i] > '9') ok = false;
            value = 10 * value + (rest[i] - '0');
        }
        if (ok) rest.remove_prefix(count);
        return ok ? value : 0;
    }
    bool take(std::string_view any_of) {
        const bool here = ok && !rest.empty() && any_of.find(rest[0]) != std::string_view::npos;
        if (here) rest.remove_prefix(1);
        return here;
    }
    void need(std::string_view any_of) { ok = take(any_of) && ok; }
};

int fraction_ms(Scanner& scan) {
    int value = 0, digits = 0;
    while (!scan.rest.empty() && scan.rest[0] >= '0' && scan.rest[0] <= '9') {
        if (digits++ < 3) value = 10 * value + (scan.rest[0] - '0');
        scan.rest.remove_prefix(1);
    }
    if (digits == 0) scan.ok = false;
    for (; digits < 3; ++digits) value *= 10;
    return value;
}

std::optional<minutes> offset(Scanner& scan) {
    if (scan.take("Zz")) return minutes{0};
    const bool minus = !scan.rest.empty() && scan.rest[0] == '-';
    if (!scan.take("+-")) return std::nullopt;
    const int hour = scan.digits(2);
    const int minute = scan.take(":") || !scan.rest.empty() ? scan.digits(2) : 0;
    if (hour > 14 || minute > 59) scan.ok = false;
    const minutes value = hours{hour} + minutes{minute};
    return minus ? -value : value;
}

std::string offset_text(minutes offset) {
    const auto size = offset < minutes{0} ? -offset : offset;
    return fmt::format("{}{:02}:{:02}", offset < minutes{0} ? '-' : '+', size.count() / 60, size.count() % 60);
}

}  // namespace

std::optional<CivilTime> parse_civil_time(std::string_view text) {
    Scanner scan{text};
    const int y = scan.digits(4);
    scan.need("-");
    const int m = scan.digits(2);
    scan.need("-");
    const int d = scan.digits(2);
    int hour = 0, minute = 0, second = 0, ms = 0;
    CivilTime time;
    if (scan.ok && !scan.rest.empty()) {
        scan.need("T ");
        hour = scan.digits(2);
        scan.need(":");
        minute = scan.digits(2);
        if (scan.take(":")) {
            second = scan.digits(2);
            if (scan.take(".,")) ms = fraction_ms(scan);
        }
        time.utc_offset = offset(scan);
    }
    const year_month_day date{year{y}, month{static_cast<unsigned>(m)}, day{static_cast<unsigned>(d)}};
    const bool possible = scan.ok && scan.rest.empty() && date.ok() && hour < 24 && minute < 60 && second < 60;
    if (!possible) return std::nullopt;
    time.local = sys_days{date} + hours{hour} + minutes{minute} + seconds{second} + milliseconds{ms};
    return time;
}

std::string date_text(const CivilTime& time) {
    const year_month_day date{floor<days>(time.local)};
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                       static_cast<unsigned>(date.day()));
}

std::string to_text(const CivilTime& time) {
    const hh_mm_ss clock{time.local - floor<days>(time.local)};
    std::string text = fmt::format("{}T{:02}:{:02}:{:02}", date_text(time), clock.hours().count(), clock.minutes().count(),
                                   clock.seconds().count());
    if (clock.subseconds().count() != 0) text += fmt::format(".{:03}", clock.subseconds().count());
    if (time.utc_offset) text += *time.utc_offset == minutes{0} ? "Z" : offset_text(*time.utc_offset);
    return text;
}

double seconds_between(const CivilTime& a, const CivilTime& b) {
    auto span = b.local - a.local;
    if (a.utc_offset && b.utc_offset) span -= *b.utc_offset - *a.utc_offset;
    return duration<double>(span).count();
}

}  // namespace tracehold
