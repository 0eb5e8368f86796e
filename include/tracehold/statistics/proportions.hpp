#pragma once
#include <cstddef>
#include <optional>

namespace tracehold {

// A share with its 95 % interval, all 0..1.
struct Proportion {
    double share = 0.0;
    double ci95_low = 0.0;
    double ci95_high = 0.0;
    bool operator==(const Proportion&) const = default;
};

// Score interval: never leaves 0..1, and not empty at 0 of n or n of n.
// In: count <= total. Out: empty for total 0 (or a count above it).
// Source: Wilson 1927; recommended by Newcombe 1998 (method 3).
std::optional<Proportion> wilson(std::size_t count, std::size_t total);

}  // namespace tracehold
