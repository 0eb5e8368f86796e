#pragma once
// What is asked of many values at once, in loops that become wide instructions.
#include <cstddef>
#include <span>

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

// Whether any is NaN. Looks at all of them, since nearly always none is; at many at once.
inline bool any_missing(std::span<const float> values) {
    constexpr std::size_t kSide = 16;
    int missing[kSide] = {};
    std::size_t i = 0;
    for (; i + kSide <= values.size(); i += kSide)
        for (std::size_t k = 0; k < kSide; ++k) missing[k] |= values[i + k] != values[i + k] ? -1 : 0;
    for (; i < values.size(); ++i) missing[0] |= values[i] != values[i] ? -1 : 0;
    int any = 0;
    for (const int lane : missing) any |= lane;
    return any != 0;
}

}  // namespace tracehold
