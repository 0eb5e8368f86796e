#pragma once
#include <span>
#include <vector>

#include "clean/frames.hpp"

namespace tracehold {

inline constexpr std::size_t kFewestBeats = 10;  // of which a shape can be learned; our choice

// Frames of 5 ms of the trace below 40 Hz.
Frames slow_frames(std::span<const float> uv, Hertz rate);

// The usual size of those nearby: the standard deviation over a second by the median. The same for all frames of a tenth of
// a second.
float usual_size_at(const Frames& slow, std::size_t frame);

// Frame numbers of the beats, in order; empty where there are none.
std::vector<std::size_t> beat_frames(const Frames& slow);

}  // namespace tracehold
