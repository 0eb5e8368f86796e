#pragma once
// An audit for other programs. All text UTF-8, '\n', full precision, never NaN.
#include <string>

#include "tracehold/audit/audit.hpp"
#include "tracehold/core/made_with.hpp"

namespace tracehold {

// One JSON object, schema tracehold.audit/1, keys in fixed order. indent 0: one line (NDJSON). Ends with a line break.
// Shares are 0..1. "measures" holds each over all people, "series" month by month with the charts' figures, "by" group
// by group. A number that is hidden is null and named in "suppressed_keys"; one that does not exist is null with a
// "reason". Edges: as in course_json.
std::string audit_json(const Audit& audit, int indent = 2, const MadeWith& made_with = {});

// Tidy CSV: one row a measure and cell, '\n' after each, '.' as decimal sign. table: "overall", "month" or "group"; of
// the measure "flow" the stage, with the reason's code as group and recordings as numerator. Empty = missing:
// 'suppressed' names the columns that are hidden (blanks between), 'reason' says why others are not there. Text cells
// as in course_csv_rows.
std::string audit_csv(const Audit& audit);

}  // namespace tracehold
