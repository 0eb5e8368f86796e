#pragma once
#include <span>
#include <vector>

#include "clean/frames.hpp"

namespace tracehold {

inline constexpr std::size_t kFewestBeats = 10;  // of which a shape can be learned; our choice

// Frames of 5 ms of the trace below 40 Hz.
Frames slow_frames(std::span<const float> uv, Hertz rate);

// The same with their usual size nearby: the standard deviation over a second by the
// median.
struct SlowTrace {
    Frames frames;
    std::vector<float> scale;  // one per frame
};
SlowTrace slow_trace(std::span<const float> uv, Hertz rate);

// Frame numbers of the beats, in order; empty where there are none.
std::vector<std::size_t> beat_frames(const SlowTrace& slow);

}  // namespace tracehold
