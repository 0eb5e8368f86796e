#pragma once
#include <string_view>

namespace tracehold {

inline constexpr std::string_view kName = "tracehold";
inline constexpr std::string_view kVersion = "0.1.0";
// Raised whenever a definition of a measure changes what a number means.
inline constexpr std::string_view kMeasuresVersion = "8";

}  // namespace tracehold
