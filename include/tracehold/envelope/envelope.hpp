#pragma once
// The noun of this room: the amplitude of the cleaned trace over time.
#include <string_view>
#include <vector>

#include "tracehold/core/units.hpp"

namespace tracehold {

enum class EnvelopeMethod {
    moving_rms,   // centred moving RMS
    rectified,    // rectified and low-passed (linear envelope); never compared with moving_rms
    as_exported,  // the recorder's own amplitude, untouched
};
std::string_view to_string(EnvelopeMethod method);

// The linear envelope: rectified, then a Butterworth low-pass run forward and backward (corner of the double run).
// Source: 6 Hz is common practice, no source.
inline constexpr Hertz kLinearEnvelopeCorner{6.0};
inline constexpr int kLinearEnvelopeOrder = 2;

struct EnvelopeSettings {
    EnvelopeMethod method = EnvelopeMethod::moving_rms;  // ignored for exported envelopes
    Seconds window{0.1};
    bool subtract_noise_floor = false;  // in power: sqrt(max(0, e^2 - n^2))
    bool subtract_baseline = false;     // exported envelopes only
};

// Always true: uv has the length and rate of the cleaned trace; each value is >= 0 or NaN (too few valid samples around
// it).
struct Envelope {
    Hertz rate{1.0};
    EnvelopeMethod method = EnvelopeMethod::moving_rms;
    Seconds window{
        0.1};  // in use (odd number of samples); one sample step for exported envelopes, 1/corner for rectified
    std::vector<float> uv;
    double noise_floor_uv = 0.0;  // 5th percentile of 1-s means of the envelope, before any subtraction
    bool noise_subtracted = false;
    std::vector<float> baseline_uv;  // exported envelopes only: running lower decile over 30 s
    bool baseline_subtracted = false;
};

}  // namespace tracehold
