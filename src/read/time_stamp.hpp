#pragma once
#include <chrono>
#include <optional>
#include <string_view>

namespace tracehold {

// A clock as a time column writes it, at the full precision of its text. day: of an ISO or day.month.year date in
// front; empty without one, and for dates with slashes, whose order of day and month nobody can know.
struct Stamp {
    std::optional<std::chrono::sys_days> day;
    double clock_s = 0.0;  // since midnight
    std::optional<std::chrono::minutes> utc_offset;
};

// 7:30:05, 07:30:05.2501, 30:05.25 (minutes and seconds), each with a date in front ('T' or blanks between) and, behind
// it, Z or an offset. Point or comma in the fraction.
std::optional<Stamp> parse_stamp(std::string_view text);

// 2026-03-02 or 2.3.2026
std::optional<std::chrono::sys_days> parse_day(std::string_view text);

}  // namespace tracehold
