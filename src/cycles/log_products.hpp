#pragma once
// The logarithms of many products side by side, with one logarithm a product.
#include <bit>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <numbers>
#include <vector>

#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {

// Factors are multiplied as m 2^e with 1 <= m < 2, so that no product of a few hundred leaves the range of a double: `mantissa`
// is scaled back after each of them.
struct LogProducts {
    std::vector<double> mantissa, exponent;

    explicit LogProducts(std::size_t count) : mantissa(count, 1.0), exponent(count, 0.0) {}
    double log(std::size_t i) const { return std::log(mantissa[i]) + exponent[i] * std::numbers::ln2; }

    // For functions marked TRACEHOLD_WIDE, of which it becomes a part. In: a positive factor for each, not below 1e-300.
    [[gnu::always_inline]] void multiply(const double* factors) {
        constexpr std::uint64_t kMantissa = (std::uint64_t{1} << 52) - 1, kOne = std::uint64_t{1023} << 52;
        // The exponent's bits as the last ones of a number from 2^52 on: a conversion that wide instructions know.
        constexpr double kTwo52 = 4503599627370496.0;
        const std::size_t count = mantissa.size();
        double* const m = mantissa.data();
        double* const e = exponent.data();
        TRACEHOLD_INDEPENDENT
        for (std::size_t i = 0; i < count; ++i) {
            const double product = m[i] * factors[i];
            const auto bits = std::bit_cast<std::uint64_t>(product);
            m[i] = std::bit_cast<double>((bits & kMantissa) | kOne);
            e[i] += std::bit_cast<double>((bits >> 52) | std::bit_cast<std::uint64_t>(kTwo52)) - (kTwo52 + 1023.0);
        }
    }
};

}  // namespace tracehold
