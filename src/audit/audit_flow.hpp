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
    std::size_t in_analysis = 0, people = 0;  // people behind the recordings in the analysis
    bool in_analysis_shown = true;
};

// AuditFlow::people is left to the caller.
AuditFlow flow_of(const FlowCounts& counts, const AuditSettings& settings);

}  // namespace tracehold
