#pragma once
// What the installed program proves of itself: published and closed-form values, and recordings whose truth is known.
#include <string>
#include <vector>

namespace tracehold {

// One value beside what it should be. passed: |value - expected| <= tolerance, and value is finite.
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

// Statistics and filters against literature and closed forms. No files, no clock.
std::vector<SelfCheck> published_checks();

// Simulated recordings, written as EDF+ or CSV in memory, read back and scored by the whole line.
std::vector<SelfCheck> recording_checks();

}  // namespace tracehold
