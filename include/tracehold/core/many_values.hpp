#pragma once
// What is asked of many values at once, in loops that become wide instructions.
#include <cstddef>
#include <span>

#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {

// For functions marked TRACEHOLD_WIDE, of which it becomes a part: the largest of(v), at least `least`; NaN counts for nothing. Many maxima
// side by side: a single one would wait for itself at every value, and a compiler unrolls fewer before it can widen them.
template <class Of>
[[gnu::always_inline]] inline float largest_of(std::span<const float> values, float least, Of of) {
    constexpr std::size_t kSide = 32;
    float most[kSide];
    for (std::size_t k = 0; k < kSide; ++k) most[k] = least;
    const auto meet = [&](const float* v, std::size_t count) {
        for (std::size_t k = 0; k < count; ++k) most[k] = of(v[k]) > most[k] ? of(v[k]) : most[k];
    };
    std::size_t i = 0;
    for (; i + kSide <= values.size(); i += kSide) meet(values.data() + i, kSide);
    meet(values.data() + i, values.size() - i);
    for (std::size_t half = kSide / 2; half > 0; half /= 2)
        for (std::size_t k = 0; k < half; ++k) most[k] = most[half + k] > most[k] ? most[half + k] : most[k];
    return most[0];
}

struct ValidSum {
    double terms = 0.0, valid = 0.0;
    double mean() const { return valid > 0.0 ? terms / valid : 0.0; }
};

// For functions marked TRACEHOLD_WIDE likewise: the sum over those that are numbers of what term(v) makes of them in place, and
// how many they are. Four sums side by side, for a single one would wait for itself at every value.
template <class Term>
[[gnu::always_inline]] inline ValidSum sum_of_valid(std::span<const float> values, Term term) {
    const FourDoubles nothing{}, one = 1.0 - nothing;
    FourDoubles terms{}, valid{};
    std::size_t i = 0;
    for (; i + 4 <= values.size(); i += 4) {
        FourDoubles v{values[i], values[i + 1], values[i + 2], values[i + 3]};
        valid += v == v ? one : nothing;
        term(v);
        terms += v == v ? v : nothing;
    }
    ValidSum out{(terms[0] + terms[1]) + (terms[2] + terms[3]), (valid[0] + valid[1]) + (valid[2] + valid[3])};
    for (; i < values.size(); ++i) {
        double v = values[i];
        if (v != v) continue;
        term(v);
        out.terms += v;
        out.valid += 1.0;
    }
    return out;
}

// Whether is(v) of any. Looks at all of them, since nearly always it is of none; at many at once.
template <class Is>
inline bool any_of_many(std::span<const float> values, Is is) {
    constexpr std::size_t kSide = 16;
    int found[kSide] = {};
    std::size_t i = 0;
    for (; i + kSide <= values.size(); i += kSide)
        for (std::size_t k = 0; k < kSide; ++k) found[k] |= is(values[i + k]) ? -1 : 0;
    for (const float value : values.subspan(i)) found[0] |= is(value) ? -1 : 0;
    int any = 0;
    for (const int lane : found) any |= lane;
    return any != 0;
}

inline bool any_missing(std::span<const float> values) {
    return any_of_many(values, [](float v) { return v != v; });
}

}  // namespace tracehold
