#pragma once
#include "tracehold/measures/inspection.hpp"
#include "tracehold/report/report.hpp"

namespace tracehold {

// What the file holds, channel by channel; what was found in each signal; what was assumed in reading.
Report compose_inspection_report(const Inspection& inspection);

}  // namespace tracehold
