#pragma once
// The amplitude that many home recorders keep instead of the trace.
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold {

// In: a trace (µV, NaN in gaps). Out: its centred moving RMS of 0.25 s after a band-pass of 20-450 Hz, looked at every
// 1 / envelope_rate seconds; NaN where the middle of the window is in a gap. Windows are cut at the ends.
std::vector<double> exported_envelope(std::vector<double> trace, Hertz rate, Hertz envelope_rate);

}  // namespace tracehold
