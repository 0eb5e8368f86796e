#pragma once
// Whole outputs, compared with files that were read and accepted by a person (tests/golden, accepted by
// scripts/accept-golden).
#include <string>

namespace tracehold::test {

// Where the text differs from the accepted file, says so with the first line that differs, and, where the environment
// variable TRACEHOLD_GOLDEN_OUT names a folder, writes the new text there for scripts/accept-golden. Out: "" if they
// are equal.
std::string difference_from_golden(const std::string& folder, const std::string& name, const std::string& text);

// The same, but words that are numbers may differ by up to `tolerance` of their size, or by it where they are below 1.
std::string difference_from_golden(const std::string& folder, const std::string& name, const std::string& text, double tolerance);

}  // namespace tracehold::test

#define CHECK_GOLDEN(name, text) \
    CHECK_EQ(tracehold::test::difference_from_golden(SOURCE_DIR "/tests/golden", name, text), "")
#define CHECK_GOLDEN_NUMBERS(name, text, tolerance) \
    CHECK_EQ(tracehold::test::difference_from_golden(SOURCE_DIR "/tests/golden", name, text, tolerance), "")
