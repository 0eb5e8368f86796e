#pragma once
#include <chrono>

namespace tracehold {

// When an output was made, to the second, in UTC. SOURCE_DATE_EPOCH fixes it.
std::chrono::sys_seconds made_at();

// The one reading of the calendar: which dates lie in the future. SOURCE_DATE_EPOCH fixes it.
std::chrono::sys_days today();

}  // namespace tracehold
