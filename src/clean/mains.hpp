#pragma once
#include <span>

#include "tracehold/clean/clean.hpp"

namespace tracehold {

// Always measured; in: how = off only measures. uv is changed only where the result says removed.
struct MainsTreatment {
    MainsHum hum;
    std::vector<double> lines_hz;  // harmonics found (and removed, if hum.removed)
};
MainsTreatment treat_mains(std::span<float> uv, Hertz rate, Hertz highest, MainsRemoval how);

}  // namespace tracehold
