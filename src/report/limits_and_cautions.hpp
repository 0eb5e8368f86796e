#pragma once
#include <string>

#include "tracehold/report/report.hpp"

namespace tracehold {

// What no page about a recording leaves without. Source: common clinical teaching, no single source; local rules come
// first.
Section limits_section();
Section cautions_section();

}  // namespace tracehold
