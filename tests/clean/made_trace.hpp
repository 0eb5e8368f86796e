#pragma once
// What traces made by the tests of cleaning consist of, and what is asked of them.
#include <cmath>
#include <cstdint>
#include <numbers>
#include <string_view>
#include <utility>
#include <vector>

#include "tracehold/clean/clean.hpp"
#include "tracehold/simulate/scenario.hpp"

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

// So many holds of 15 µV from 10 s on, each 5 s; every second seed at 2 kHz.
inline Scenario holds_with(std::uint64_t seed, double rest_s, int holds, std::vector<Fault> faults) {
    Scenario s;
    s.seed = seed;
    s.rate_hz = seed % 2 == 0 ? 1000.0 : 2000.0;
    s.plan.posture = "lying";
    s.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, rest_s, holds}};
    s.muscle.work_uv = 15.0;
    s.faults = std::move(faults);
    return s;
}

}  // namespace tracehold::testing
