#pragma once
#include <optional>
#include <string_view>

namespace tracehold {

// What a file header says of filters in the recorder: "HP:10Hz LP:500Hz N:50Hz" (EDF 1992). Hertz; empty where it says
// nothing.
struct Prefilter {
    std::optional<double> high_pass, low_pass, notch;
};
Prefilter parse_prefilter(std::string_view text);

}  // namespace tracehold
