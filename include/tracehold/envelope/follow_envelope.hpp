#pragma once
// The verb of this room.
#include <span>
#include <vector>

#include "tracehold/clean/clean.hpp"
#include "tracehold/envelope/envelope.hpp"

namespace tracehold {

// In: a cleaned channel. Out: its envelope, same length.
// Edges: a window with fewer than half valid samples gives NaN; at the ends the window is cut, not padded.
// Errors: bad_setting (window under 2 samples or over 10 s).
Envelope follow_envelope(const CleanRecording& clean, const EnvelopeSettings& settings = {});

// Centred moving RMS over an odd number of samples, NaN = masked, as above. In: uv any length; window_samples odd >= 1.
std::vector<float> moving_rms(std::span<const float> uv, std::size_t window_samples);

}  // namespace tracehold
