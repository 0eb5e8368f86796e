#pragma once
#include <string>

#include "tracehold/measures/inspection.hpp"

namespace tracehold {

// One JSON object, schema tracehold.inspection/1, keys in fixed order. indent 0: one line (NDJSON). Ends with a line break.
std::string inspection_json(const Inspection& inspection, int indent = 2);

}  // namespace tracehold
