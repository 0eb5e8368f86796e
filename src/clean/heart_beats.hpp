#pragma once
#include <span>
#include <vector>

#include "clean/frames.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

// The heart in a muscle recording. Empty times: none found.
struct HeartBeats {
    std::vector<double> times_s;  // of the steepest part of each beat, in order
    double per_minute = 0.0;
    double peak_uv = 0.0;          // of the average beat, after the band-pass
    std::vector<double> shape_uv;  // the average beat, sample by sample
    std::size_t shape_before = 0;  // samples of it before the time of the beat
    double cost_share = 0.0;       // of muscle power that taking the beats away costs: 1/n of the time that they cover
    Frames slow;                   // slow_frames of the trace, where there is nothing to take away from it
};

// Beats are waves of one shape at nearly regular intervals (33 to 180 a minute), seen below 40 Hz where muscle is weak.
// In: band-passed trace, NaN where masked. Edges: fewer than ten beats count as none.
HeartBeats find_heart_beats(std::span<const float> uv, Hertz rate);

// Subtracts the average beat at each of the times, scaled to it.
void remove_heart_beats(std::span<float> uv, Hertz rate, const HeartBeats& beats);

}  // namespace tracehold
