#pragma once
// What traces made by the tests of cleaning consist of, and what is asked of them.
#include <cmath>
#include <numbers>
#include <string_view>

#include "tracehold/clean/clean.hpp"

namespace tracehold::testing {

inline constexpr Hertz kRate{1000.0};
inline constexpr double kTurn = 2.0 * std::numbers::pi;

// A beat of 80 ms, peak 1, freed of what a 20-Hz high-pass takes.
inline double beat(double t) { return std::exp(-t * t / (2 * 0.01 * 0.01)) - 0.5 * std::exp(-t * t / (2 * 0.025 * 0.025)); }

// The first of that code; null where there is none.
inline const Finding* find_finding(const CleanRecording& clean, std::string_view code) {
    for (const Finding& finding : clean.quality.findings) {
        if (finding.code == code) return &finding;
    }
    return nullptr;
}

}  // namespace tracehold::testing
