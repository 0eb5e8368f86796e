#pragma once
// The trace in short frames: enough to see movement, heart beats, rest and work, and a small part of its size.
#include <algorithm>
#include <cmath>
#include <span>
#include <vector>

#include "clean/ranges.hpp"

namespace tracehold {

// Frame k covers samples [k * samples, (k + 1) * samples), the last one what is left.
struct Frames {
    std::size_t samples = 1;   // per frame
    Hertz rate{1.0};           // frames per second
    std::vector<float> value;  // NaN where less than half of a frame is valid
    SampleRange range(std::size_t begin, std::size_t end, std::size_t size) const {
        return {begin * samples, std::min(end * samples, size)};
    }
};

// length: of a frame, about; whole samples, at least one. without: in order, what counts as masked as well.
Frames frame_means(std::span<const float> uv, Hertz rate, Seconds length, const Ranges& without = {});
Frames frame_powers(std::span<const float> uv, Hertz rate, Seconds length, const Ranges& without = {});  // mean squares

// Those of 10 ms, from which levels are read.
Frames short_powers(std::span<const float> uv, Hertz rate);

// The mean square of the samples that are numbers; 0 where none is.
double mean_power(std::span<const float> uv);

// Centred mean over 2 half + 1 values, NaN left out; NaN where all are.
std::vector<float> smoothed(std::span<const float> values, std::size_t half);

// Quantile of the values that are numbers; empty input gives 0.
double valid_quantile(std::span<const float> values, double p);

// The largest size (absolute value) of those that are numbers; 0 where none is.
float largest_size(std::span<const float> values);

inline constexpr double kGaussian = 1.4826;  // standard deviation over median size

// True where the median size of those that are numbers is at least `least`; told by counting, without looking for the
// median, since most stretches need not know it closer. Where it is exactly `least` either answer may come.
bool median_size_reaches(std::span<const float> values, float least);

// Mean squares over half a second around each frame. powers: short_powers.
std::vector<float> half_second_powers(const Frames& powers);

// Quantile of the RMS over half seconds of a trace. Edges: nothing valid gives 0.
double level_quantile(std::span<const float> half_second_powers, double p);

// RMS of the quiet part of a band-passed trace: the lower decile of its RMS over half seconds.
double resting_level(std::span<const float> half_second_powers);

}  // namespace tracehold
