#pragma once
// The logarithms of many products side by side, with one logarithm a product.
#include <cmath>
#include <cstddef>
#include <numbers>
#include <vector>

#include "cycles/wide_math.hpp"

namespace tracehold {

// As mantissa 2^exponent, the first scaled back to 1 .. 2 after each factor.
struct LogProducts {
    std::vector<double> mantissa, exponent;

    explicit LogProducts(std::size_t count) : mantissa(count, 1.0), exponent(count, 0.0) {}
    double log(std::size_t i) const { return std::log(mantissa[i]) + exponent[i] * std::numbers::ln2; }

    // For functions marked TRACEHOLD_WIDE, of which it becomes a part. In: a positive factor for each, not below 1e-300.
    [[gnu::always_inline]] void multiply(const double* factors) {
        std::size_t i = 0;
        for (; i + 4 <= mantissa.size(); i += 4) {
            FourDoubles product = four_at(&mantissa[i]) * four_at(factors + i), added{};
            split_off_exponent(product, added);
            four_at(&mantissa[i]) = product, four_at(&exponent[i]) += added;
        }
        for (; i < mantissa.size(); ++i) {
            FourDoubles product = FourDoubles{} + mantissa[i] * factors[i], added{};
            split_off_exponent(product, added);
            mantissa[i] = product[0], exponent[i] += added[0];
        }
    }
};

}  // namespace tracehold
