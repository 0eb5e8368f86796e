#pragma once
#include <string_view>

namespace tracehold {

// What rules call the share of prescribed sessions that were held.
inline constexpr std::string_view kAdherence = "adherence_pct";

}  // namespace tracehold
