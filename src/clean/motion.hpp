#pragma once
#include <span>

#include "clean/frames.hpp"
#include "clean/heart_beats.hpp"
#include "clean/ranges.hpp"

namespace tracehold {

// Waves of 1 to 15 Hz in frames of 10 ms. In: the trace before filtering, NaN where masked; masks: what counts as masked
// as well. Empty where the rate is too low for it.
Frames slow_waves(std::span<const float> samples, Hertz rate, const Ranges& masks = {});

// Bursts of movement of electrode or cable: slow waves far larger than muscle makes them, at the same time as too
// little muscle. In: the slow waves; the cleaned trace, NaN where masked; the heart beats found in it, which are no
// movement.
Ranges find_motion(Frames slow, std::span<const float> clean_uv, Hertz rate, const HeartBeats& beats);

}  // namespace tracehold
