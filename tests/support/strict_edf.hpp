#pragma once
// A second reader of EDF and BDF for comparison: strict, slow and plain, straight from the specification. It knows no
// repair: what is not faultless is nothing to it.
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tracehold::test {

struct StrictSignal {
    std::string label;
    std::string unit;
    double rate_hz = 0.0;
    std::vector<double> samples;  // in its unit
};

// Empty unless every field is as the specification wants it, plain (not EDF+), and the file as long as it says.
std::optional<std::vector<StrictSignal>> read_strict_edf(std::string_view bytes);

}  // namespace tracehold::test
