#pragma once
// How many recordings came, and where and why some were lost.
#include <map>
#include <string>

#include "tracehold/audit/audit_service.hpp"

namespace tracehold {

struct FlowCounts {
    std::map<ErrorKind, std::size_t> refused;
    std::map<std::string, std::size_t> left_out;         // code -> recordings
    std::map<std::string, std::size_t> left_out_people;  // code -> people behind them, where they are known
    std::size_t in_analysis = 0;
    bool in_analysis_shown = true;           // as the measure that counts recordings shows it
    std::size_t in_analysis_at_least = 0;    // what a reader has of it from the other tables where it is hidden
};

// AuditFlow::people is left to the caller.
AuditFlow flow_of(const FlowCounts& counts, const AuditSettings& settings);

}  // namespace tracehold
