#pragma once
// The questions an audit asks, with their definitions; in the order of tables.
#include "tracehold/audit/audit.hpp"

namespace tracehold {

AuditMeasure signal_measure();
AuditMeasure adherence_measure(const AuditSettings& settings);
AuditMeasure coming_measure();
AuditMeasure change_measure();
AuditMeasure rest_measure(const AuditSettings& settings);
AuditMeasure review_measure();

}  // namespace tracehold
