#pragma once
// Several recordings at a glance: one line each.
#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "tracehold/core/error.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// One recording of the table: its cells, of which the first is its file's name, and a remark under the table where something must
// be said.
struct OverviewRow {
    std::string source{};  // as the caller named it
    std::vector<std::string> cells;
    std::string remark;  // "" = none
    bool scored = true;
    std::optional<std::chrono::sys_days> day;
    std::string person;  // "" = not known
    std::string sha256;  // of its bytes; "" = not known
    Dose dose;           // of the plan it was scored against
};

OverviewRow overview_row(const SessionScore& score);
OverviewRow overview_row(const Error& refused);

// In: rows in the order of the recordings. Out: a report of one table, what was asked beside what is there (of one
// person under one dose, where every recording has a date; whether that is enough is for 'course'), and the remarks. A copy
// of one before it has a line and a remark, and is not counted. Where names repeat the person stands with them, or the folder.
Report compose_overview(const std::vector<OverviewRow>& rows);

}  // namespace tracehold
