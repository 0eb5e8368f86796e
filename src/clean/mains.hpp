#pragma once
#include <span>

#include "clean/line_blocks.hpp"
#include "clean/ranges.hpp"
#include "tracehold/clean/clean.hpp"

namespace tracehold {

// Always measured; in: how = off only measures; hz50 and hz60 give way to the other where that is twice as clearly
// there. uv is changed only where the result says removed; then it is masked where hum begins or ends at once.
struct MainsTreatment {
    MainsHum hum;
    std::vector<double> lines_hz;  // harmonics found (and removed, if hum.removed)
    Ranges steps;                  // masked
};
// at_50_and_60: line_blocks of uv for kMains_hz.
MainsTreatment treat_mains(std::span<float> uv, std::span<const LineBlocks> at_50_and_60, MainsRemoval how);
MainsTreatment treat_mains(std::span<float> uv, Hertz rate, Hertz highest, MainsRemoval how);

}  // namespace tracehold
