#pragma once
// Stretches in which the recorder did not follow the body: at its rails, or standing still.
#include <span>

#include "clean/ranges.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

struct Stuck {
    Ranges clipped;       // at a rail, for less than kContact
    Ranges torn;          // of those, where not just the tops of the trace's own waves are cut off
    Ranges contact_lost;  // standing still, at a rail or anywhere, for longer
};

// Rails: the limits that the channel states, and values at the very top or bottom, of all or of a half second by itself, that hold
// far more samples than the next ones do. Standing still: the same value for at least 0.1 s, and longer than chance makes likely in a coarsely
// quantised trace; for 0.05 s where neighbours hardly ever are the same. Torn: longer than half a wave
// of 20 Hz, or at a rail more than five times as far out as the samples within 50 ms reach by their RMS, or with too few of these left to
// tell. In: samples, NaN where missing.
Stuck find_stuck(std::span<const float> samples, const Channel& channel);

// The usual difference between values next to each other among those that occur, where values repeat so much that there is
// one; 0 if not. A few odd values, as the 0 of lost contact, do not matter.
double digital_step(std::span<const float> samples);

// Of an exported amplitude: all of it where it never changes, for that says as little as a trace that never does; else where
// it falls to nothing for 0.3 s and more, with 0.1 s on either side. An amplitude has rest in it wherever there is contact.
// step_uv: its digits. Edges: not told where a tenth of it is near 0, as where the recorder takes rest away, or where rest is
// within two of its digits.
Ranges find_lost_amplitude(std::span<const float> uv, Hertz rate, double step_uv);

}  // namespace tracehold
