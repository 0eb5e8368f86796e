#pragma once
#include <string>

namespace tracehold {

// "0.30", "0.021", "<0.001". One that fails the level of 0.05 is never written as the level itself, which would pass: "0.0501".
std::string p_text(double p);

}  // namespace tracehold
