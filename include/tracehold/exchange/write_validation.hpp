#pragma once
// What an installed program proved of itself, as a record.
#include <span>
#include <string>

namespace tracehold {

// One value beside what it should be. passed: value is finite and |value - expected| <= tolerance.
struct SelfCheck {
    std::string code;  // "statistics.icc_2_1"
    std::string what;  // in words
    double value = 0.0;
    double expected = 0.0;
    double tolerance = 0.0;
    std::string unit;    // "" for pure numbers
    std::string source;  // of the expected value and, for recordings, of the tolerance
    bool passed() const;
};

struct Machine {
    std::string compiler, system;
};

// One JSON object, schema tracehold.validation/1. A value that is not finite is null.
std::string validation_json(std::span<const SelfCheck> checks, const Machine& machine);

}  // namespace tracehold
