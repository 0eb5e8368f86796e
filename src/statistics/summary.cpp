#include "tracehold/statistics/summary.hpp"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numeric>
#include <type_traits>
#include <vector>

#include "tracehold/core/wide_lanes.hpp"
#include "tracehold/statistics/distributions.hpp"

namespace tracehold {
namespace {

template <class Number, class Count>
[[gnu::always_inline]] inline std::size_t how_many_from(std::span<const Number> values, Number limit, Count count) {
    for (const Number value : values) count += value >= limit ? 1 : 0;
    return static_cast<std::size_t>(count);
}

TRACEHOLD_WIDE std::size_t count_from(std::span<const float> values, float limit) { return how_many_from(values, limit, std::int32_t{0}); }
TRACEHOLD_WIDE std::size_t count_from(std::span<const double> values, double limit) { return how_many_from(values, limit, std::int64_t{0}); }

// Many side by side, as for largest_of. Infinity where there is none.
template <class Number>
[[gnu::always_inline]] inline Number least_from(std::span<const Number> values, Number limit) {
    constexpr std::size_t kSide = 16;
    Number least[kSide];
    std::fill_n(least, kSide, std::numeric_limits<Number>::infinity());
    const auto meet = [&](Number value, Number& of_side) {
        const Number counted = value >= limit ? value : std::numeric_limits<Number>::infinity();
        of_side = counted < of_side ? counted : of_side;
    };
    std::size_t i = 0;
    for (; i + kSide <= values.size(); i += kSide)
        for (std::size_t k = 0; k < kSide; ++k) meet(values[i + k], least[k]);
    for (; i < values.size(); ++i) meet(values[i], least[0]);
    return *std::min_element(least, least + kSide);
}

TRACEHOLD_WIDE float smallest_from(std::span<const float> values, float limit) { return least_from(values, limit); }
TRACEHOLD_WIDE double smallest_from(std::span<const double> values, double limit) { return least_from(values, limit); }

// What stands at a rank, from 0, and at the next; the largest has none.
template <class Number>
struct Neighbours {
    Number here, next;
};

template <class Number>
Neighbours<Number> neighbours_of_few(std::span<Number> values, std::size_t rank) {
    const auto here = values.begin() + static_cast<std::ptrdiff_t>(rank);
    std::nth_element(values.begin(), here, values.end());
    return {*here, here + 1 == values.end() ? *here : *std::min_element(here + 1, values.end())};
}

// Numbers are in the order of their bits, those below zero backwards: bit by bit these say where between two of them the rank is,
// until there is but one value there. No branch depends on a value, as those of a sort would.
template <class Number>
Neighbours<Number> neighbours_of_many(std::span<const Number> values, std::size_t rank) {
    using Bits = std::conditional_t<sizeof(Number) == sizeof(std::uint32_t), std::uint32_t, std::uint64_t>;
    constexpr Bits kHighest = Bits{1} << (8 * sizeof(Bits) - 1);
    const auto number_of = [](Bits bits) { return std::bit_cast<Number>((bits & kHighest) != 0 ? bits ^ kHighest : ~bits); };
    Number low = -std::numeric_limits<Number>::infinity(), high = -low;
    std::size_t from_low = values.size(), from_high = 0;  // how many there are
    Bits bits = 0;
    for (Bits bit = kHighest; bit > 0 && from_low - from_high > 1; bit >>= 1) {
        const Number limit = number_of(bits | bit);
        const std::size_t from_limit = count_from(values, limit);
        if (from_limit + rank >= values.size()) {
            bits |= bit, low = limit, from_low = from_limit;
        } else {
            high = limit, from_high = from_limit;
        }
    }
    const Number here = smallest_from(values, low);
    return {here, rank + 1 + from_high < values.size() || from_high == 0 ? here : smallest_from(values, high)};
}

template <class Number>
double quantile_of(std::span<Number> values, double p) {
    constexpr std::size_t kMany = 512;  // our choice
    assert(!values.empty() && p >= 0.0 && p <= 1.0);
    const double rank = p * static_cast<double>(values.size() - 1);
    const auto below = static_cast<std::size_t>(rank);
    const auto [here, next] = values.size() < kMany ? neighbours_of_few(values, below) : neighbours_of_many(std::span<const Number>(values), below);
    const double share = rank - std::floor(rank), low = static_cast<double>(here);
    return share == 0.0 ? low : low + share * (static_cast<double>(next) - low);
}

}  // namespace

Summary summarise(std::span<const double> values) {
    Summary summary;
    summary.n = values.size();
    if (values.empty()) return summary;
    const double n = static_cast<double>(values.size());
    const double mean = std::accumulate(values.begin(), values.end(), 0.0) / n;
    summary.mean = mean;
    summary.min = *std::min_element(values.begin(), values.end());
    summary.max = *std::max_element(values.begin(), values.end());
    if (values.size() < 2) return summary;
    double squares = 0.0;
    for (const double value : values) squares += (value - mean) * (value - mean);
    const double sd = std::sqrt(squares / (n - 1.0));
    const double half_width = student_t_quantile(0.975, n - 1.0) * sd / std::sqrt(n);
    summary.sd = sd;
    summary.ci95_low = mean - half_width;
    summary.ci95_high = mean + half_width;
    if (mean != 0.0) summary.cv_pct = 100.0 * sd / std::abs(mean);
    return summary;
}

double quantile(std::span<const double> values, double p) {
    std::vector<double> copy(values.begin(), values.end());
    return quantile_in_place(copy, p);
}

double quantile_in_place(std::span<double> values, double p) { return quantile_of(values, p); }

double quantile_in_place(std::span<float> values, double p) { return quantile_of(values, p); }

float value_of_rank(std::span<const float> values, std::size_t rank) { return neighbours_of_many(values, rank).here; }

double median(std::span<const double> values) { return quantile(values, 0.5); }

}  // namespace tracehold
