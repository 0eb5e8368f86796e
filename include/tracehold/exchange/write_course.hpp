#pragma once
// A course of sessions for other programs. All text UTF-8, '\n', full precision, never NaN.
#include <string>

#include "tracehold/course/course.hpp"
#include "tracehold/core/made_with.hpp"

namespace tracehold {

// One JSON object, schema tracehold.course/1, keys in fixed order. indent 0: one line (NDJSON). Ends with a line break.
// Measures stand by their key, in the order of course_measures(); values and blocks are in their "unit", changes,
// errors and slopes in "change_unit". "relative": these are percent of the value before, and "change_pct" and
// "mdc95_pct" repeat two of them; else they are differences (of percentages too) and those two are null.
// Sessions, phases and steps are counted from 1. Null where nothing is known; why a measure has no statement, or not
// enough for one, stands in its "reason", why no dose is counted in that of "adherence".
// Edges: text that is no UTF-8 is written with U+FFFD; control and bidi characters as \uXXXX.
std::string course_json(const Course& course, int indent = 2, const MadeWith& made_with = {});

// Tidy CSV: one row a phase, session and measure of the phase, '\n' after each, '.' as decimal sign, units as UCUM
// codes. 'kind' is the channel's, 'contraction' the kind of contraction that the value is the mean of. Empty = missing,
// with a reason column. A recording of an assessment has rows in several phases, one for each step of its plan. Quotes
// as in RFC 4180. Text cells that a spreadsheet would run as a formula get a leading apostrophe; numbers are never
// touched.
std::string course_csv_header();
std::string course_csv_rows(const Course& course);

// The same of the weeks of training: one row an ISO week, from the first session to the last that counts. What was asked for is empty
// where the plan has no dose. longest_gap_days: the longest time, in calendar days, from one session to the next of those that end in
// the week; empty where none does.
std::string course_weeks_csv_header();
std::string course_weeks_csv_rows(const Course& course);

}  // namespace tracehold
