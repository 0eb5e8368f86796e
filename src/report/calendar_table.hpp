#pragma once
#include "tracehold/report/report.hpp"

namespace tracehold {

// A calendar for those formats that draw none: a row a week, the sessions of each day, done and planned.
ReportTable calendar_table(const Calendar& calendar, std::string_view language = "en");

// "2026-03-02"
std::string calendar_day(std::chrono::sys_days day);

}  // namespace tracehold
