#pragma once
// Cells of an audit as people read them.
#include <string>

#include "tracehold/audit/audit.hpp"
#include "tracehold/report/chart.hpp"

namespace tracehold {

std::string count_text(const AuditCount& count);                              // "41", "hidden", "–"
std::string of_text(const AuditCell& cell);                                   // "41 of 55"
std::string percent_text(double share);                                       // "75 %"
std::string share_text(const AuditCell& cell);                                // "75 %", "hidden", "–"
std::string interval_text(const AuditCell& cell);                             // "62 to 84 %"
std::string median_text(const AuditMeasure& measure, const AuditCell& cell);  // "92 % (55)", the people behind it
std::string group_text(const std::string& group);                             // "not stated" for ""
bool is_hidden(const AuditCell& cell);                                        // anything in it

}  // namespace tracehold
