#pragma once
// Powers, logarithms and maxima of several numbers at once: for functions marked TRACEHOLD_WIDE, of which they become a part.
#include <bit>
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

// In: products of positive factors above 1e-300. What they are as m 2^e with 1 <= m < 2: leaves m, and adds e to the exponents, so
// that no product of a few hundred leaves the range of a double.
[[gnu::always_inline]] inline void split_off_exponent(FourDoubles& product, FourDoubles& exponent) {
    using FourWords = std::uint64_t __attribute__((vector_size(32)));
    constexpr std::uint64_t kMantissa = (std::uint64_t{1} << 52) - 1, kOne = std::uint64_t{1023} << 52;
    // The exponent's bits as the last ones of a number from 2^52 on: a conversion that wide instructions know.
    constexpr double kTwo52 = 4503599627370496.0;
    const FourWords bits = reinterpret_cast<FourWords>(product);
    product = reinterpret_cast<FourDoubles>((bits & kMantissa) | kOne);
    exponent += reinterpret_cast<FourDoubles>((bits >> 52) | std::bit_cast<std::uint64_t>(kTwo52)) - (kTwo52 + 1023.0);
}

// In: 1 to 2. Out: the natural logarithm to 1e-15.
// Halved above sqrt 2. With s = (x - 1) / (x + 1), at most 0.172 in size, ln x = 2 (s + s^3 / 3 + s^5 / 5 + ...), whose terms fall
// below 1e-17 at the 21st power.
[[gnu::always_inline]] inline void take_log(FourDoubles& x) {
    const FourDoubles nothing{}, half = nothing + 0.5, whole = nothing + 1.0;
    const auto large = x > std::numbers::sqrt2;
    const FourDoubles halved = x * (large ? half : whole), s = (halved - 1.0) / (halved + 1.0), square = s * s;
    FourDoubles sum = nothing + 1.0 / 21.0;
    for (const double factor : {1.0 / 19.0, 1.0 / 17.0, 1.0 / 15.0, 1.0 / 13.0, 1.0 / 11.0, 1.0 / 9.0, 1.0 / 7.0, 1.0 / 5.0, 1.0 / 3.0, 1.0})
        sum = sum * square + factor;
    x = 2.0 * s * sum + (large ? nothing + std::numbers::ln2 : nothing);
}

}  // namespace tracehold
