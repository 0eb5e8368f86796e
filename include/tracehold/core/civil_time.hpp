#pragma once
// Wall-clock times as recorders write them: a date and time of the place, sometimes with an offset from UTC.
#include <chrono>
#include <compare>
#include <optional>
#include <string>
#include <string_view>

namespace tracehold {

// local: the wall clock, milliseconds, proleptic Gregorian. utc_offset: only if the file said it; never guessed.
struct CivilTime {
    std::chrono::sys_time<std::chrono::milliseconds> local;
    std::optional<std::chrono::minutes> utc_offset;
    bool operator==(const CivilTime&) const = default;
};

// ISO 8601: 2026-03-02, 2026-03-02T07:30, ...T07:30:05.250, with 'T' or blank, with Z or +01:00. Impossible dates (30 February,
// 24:01) give an empty result.
std::optional<CivilTime> parse_civil_time(std::string_view text);

// 2026-03-02T07:30:05, milliseconds only if not zero, offset only if known.
std::string to_text(const CivilTime& time);

// 2026-03-02
std::string date_text(const CivilTime& time);

// Seconds from a to b: on UTC where both offsets are known, else between the wall clocks.
double seconds_between(const CivilTime& a, const CivilTime& b);

}  // namespace tracehold
