#pragma once
// Several recordings at a glance: one line each.
#include <string>
#include <vector>

#include "tracehold/core/error.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// One recording of the table: its cells, and a remark under the table where something must be said.
struct OverviewRow {
    std::vector<std::string> cells;
    std::string remark;  // "" = none
    bool scored = true;
};

OverviewRow overview_row(const SessionScore& score);
OverviewRow overview_row(const Error& refused);

// In: rows in the order of the recordings. Out: a report of one table and the remarks.
Report compose_overview(const std::vector<OverviewRow>& rows);

}  // namespace tracehold
