#pragma once
// Lists of sample ranges: in order, not empty, not touching.
#include <cstddef>
#include <span>
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold {

using Ranges = std::vector<SampleRange>;

// Each range grown by `margin` samples on both sides, cut to [0, size), joined where they touch. In: any order.
Ranges widened(Ranges ranges, std::size_t margin, std::size_t size);

// Ranges for which `fits` holds, sample by sample.
template <class Fits>
Ranges ranges_where(std::size_t size, Fits fits) {
    Ranges out;
    for (std::size_t i = 0; i < size; ++i) {
        if (!fits(i)) continue;
        const std::size_t begin = i;
        while (i < size && fits(i)) ++i;
        out.push_back({begin, i});
    }
    return out;
}

// Those between valid_runs of uv.
Ranges missing_runs(std::span<const float> uv);

// Where samples are no numbers, or beyond all numbers.
Ranges not_finite(std::span<const float> samples);

void mask(std::span<float> uv, const Ranges& ranges);

std::vector<TimeSpan> as_times(const Ranges& ranges, Hertz rate);
double seconds_in(const Ranges& ranges, Hertz rate);

}  // namespace tracehold
