#pragma once
#include "report/page_words.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// A calendar for those formats that draw none: a row a week, the sessions of each day, done and planned.
ReportTable calendar_table(const Calendar& calendar, std::string_view language = "en");

// "2026-03-02"
std::string calendar_day(std::chrono::sys_days day);

// "2 Mar 2026", "2.3.2026", "2 mars 2026": as people of the language write it in a row.
std::string week_day(std::chrono::sys_days day, const PageWords& words);

// The day its Monday is, and its number where the reader is told: "2 Mar 2026, W10".
std::string week_name(const CalendarWeek& week, const PageWords& words);

// Whether the contractions of its weeks are told.
bool tells_contractions(const Calendar& calendar);

// The title over what was done of each week, and what it says of one: "14 / 14" where a plan asks for sessions in any, "14" else.
std::string_view done_title(const Calendar& calendar, const PageWords& words);
std::string done_of_week(const CalendarWeek& week, const PageWords& words);

}  // namespace tracehold
