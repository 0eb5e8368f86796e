#pragma once
#include <span>

#include "clean/ranges.hpp"

namespace tracehold {

// Stretches in which an electrode or the reference is off: mains fills the trace and stands far above the rest of the
// recording. In: band-passed trace before removal of mains, NaN where masked. A hum that is everywhere alike is not
// found here.
Ranges find_open_hum(std::span<const float> uv, Hertz rate, Hertz highest);

}  // namespace tracehold
