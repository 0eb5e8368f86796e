#pragma once
// What became of a file, in one text: for tables of malformed files and the decision on each.
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/read/read_recording.hpp"

namespace tracehold::test {

// Read: "edf+c 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400" (samples; "-3" = three of them missing), then marks and
// gaps, then a line for each Note: "code [place]: text". Refused: "kind: " and the whole text of the error.
std::string outcome_of(std::string_view bytes, const ReadSettings& settings = {});

struct Case {
    const char* fault;
    std::string bytes;
    std::string outcome;
};

void check(const std::vector<Case>& cases, const ReadSettings& settings = {});

}  // namespace tracehold::test
