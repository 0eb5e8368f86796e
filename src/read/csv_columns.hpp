#pragma once
// What each column of a CSV recording is, from its name, its unit and what its cells look like.
#include <string>
#include <string_view>
#include <vector>

#include "read/csv_layout.hpp"

namespace tracehold {

enum class ColumnRole { time, day, value, marker, ignored };

struct CsvColumn {
    ColumnRole role = ColumnRole::value;
    std::string label{};        // the name without its unit
    std::string unit{};         // as written; "" if the name has none
    std::string unit_above{};   // that of the name where a row of units below it says another
    bool stamps = false;        // time: clocks, not numbers
    bool voltage = true;        // value: false for an angle, a pressure, anything with a unit that is no voltage
    bool envelope = false;      // value: the name says that it is an amplitude already
    std::string why_ignored{};  // ignored: a plain reason; "" if nobody will miss it
};

// One a column of the layout; at most one is time, at most one day. With no name for it, the first column is the time
// if it rises by even steps; steps of exactly one without a unit are a counter and ignored.
std::vector<CsvColumn> name_columns(const CsvLayout& layout);

// Seconds in one of a time unit; 0 for what is no time unit.
double seconds_per(std::string_view unit);

bool is_time_name(std::string_view name);      // time, t, time_s, Time [ms], clock, timestamp ...
bool names_a_voltage(std::string_view name);   // with a voltage unit, or with 'emg' in it
bool is_other_unit(std::string_view unit);     // known, and no voltage: deg, mmHg, m/s2 ...
bool is_unit_text(std::string_view text);      // uV, [µV], (s) ...: nothing but a unit
std::string bare_unit(std::string_view text);  // without brackets

}  // namespace tracehold
