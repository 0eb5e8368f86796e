#pragma once
// What an audit takes in: results of 'score' as they stream by, and recordings that are scored on the way.
#include <string>
#include <vector>

#include "app/options.hpp"
#include "tracehold/audit/audit_tally.hpp"

namespace tracehold {

// Everything in the inputs, in memory bounded by what the tally keeps and a few results; says errors and progress on
// standard error. The sessions list speaks for results as it does for recordings: its person, start and site beat
// theirs; it adds the group and the date of review. Errors: those of companions; Stopped.
AuditTally read_audit_inputs(const std::vector<std::string>& inputs, const Options& options);

}  // namespace tracehold
