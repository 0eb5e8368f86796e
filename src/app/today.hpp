#pragma once
#include <chrono>
#include <optional>

namespace tracehold {

// When an output was made, to the second, in UTC. SOURCE_DATE_EPOCH fixes it.
std::chrono::sys_seconds made_at();

// The one reading of the calendar: which dates lie in the future. SOURCE_DATE_EPOCH fixes it. Nothing where the clock shows a day
// before this program was there, as one that was never set does; a note on standard error says so unless quiet.
std::optional<std::chrono::sys_days> today(bool quiet);

}  // namespace tracehold
