#pragma once
// Powers and maxima of several numbers at once: for functions marked TRACEHOLD_WIDE, of which they become a part.
#include <cmath>
#include <cstdint>
#include <numbers>

#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {

[[gnu::always_inline]] inline float largest_of_eight(const EightInArray& v) {
    const auto larger = [](float a, float b) { return a < b ? b : a; };
    return larger(larger(larger(v[0], v[1]), larger(v[2], v[3])), larger(larger(v[4], v[5]), larger(v[6], v[7])));
}

// In: -700 to 700. Out: e^x to 1e-15 of itself.
// With n the whole number nearest to x / ln 2 and r = x - n ln 2, at most ln 2 / 2 in size, e^x = 2^n e^r; the series of e^r
// ends where its terms fall below 1e-16, and 2^n is added to the exponent's bits.
[[gnu::always_inline]] inline void raise_e_to(FourDoubles& x) {
    using FourIntegers = std::int64_t __attribute__((vector_size(32)));
    constexpr double kWhole = 6755399441055744.0;  // 1.5 * 2^52: what is added to it ends in the last bits as a whole number
    constexpr double kLn2High = 0x1.62e42fefa3800p-1, kLn2Low = 0x1.ef35793c76730p-45;  // the first times any n here is exact
    const FourDoubles shifted = x * std::numbers::log2e + kWhole, n = shifted - kWhole;
    const FourDoubles r = (x - n * kLn2High) - n * kLn2Low;
    FourDoubles sum = r * (1.0 / 479001600.0) + 1.0 / 39916800.0;
    for (const double factor : {1.0 / 3628800.0, 1.0 / 362880.0, 1.0 / 40320.0, 1.0 / 5040.0, 1.0 / 720.0, 1.0 / 120.0, 1.0 / 24.0, 1.0 / 6.0, 0.5, 1.0, 1.0})
        sum = sum * r + factor;
    x = reinterpret_cast<FourDoubles>(reinterpret_cast<FourIntegers>(sum) + (reinterpret_cast<FourIntegers>(shifted) << 52));
}

}  // namespace tracehold
