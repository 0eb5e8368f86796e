#pragma once
#include "tracehold/audit/audit.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// For the manager or auditor: who is in it and who is missing, each rate with its interval, what differs by more than
// chance explains over time and between groups; then measure by measure, definitions, how it was made, limits. Groups
// stand in the order of their names, never of their rates. It says nothing that the Audit does not hold.
Report compose_audit_report(const Audit& audit);

// What the words of its charts and tables mean, beside its measures; anchor: the key that the page prints.
std::vector<Definition> audit_terms(const AuditSettings& settings);

}  // namespace tracehold
