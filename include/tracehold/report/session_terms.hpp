#pragma once
#include <vector>

#include "tracehold/report/report.hpp"

namespace tracehold {

// What the words of a session's page mean, beside its measures; anchor: the key that pages and results print.
std::vector<Definition> session_terms();

}  // namespace tracehold
