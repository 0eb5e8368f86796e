#pragma once
#include <optional>
#include <string_view>

namespace tracehold {

// Microvolts in one of the unit: uV and µV in both of its code points, nV, mV, V, in any case ('MV' is a millivolt here: no
// recorder writes megavolts) and as words. Empty for everything else.
std::optional<double> microvolts_per(std::string_view unit);

}  // namespace tracehold
