#pragma once
// The envelope in coarse steps on a log scale, and the two levels, rest and work, that it moves between.
#include <cstddef>
#include <vector>

#include "tracehold/envelope/envelope.hpp"

namespace tracehold {

// Always true: rest <= work; log_uv has no NaN (a masked step holds the one before it, for 10 s, and is quiet from then on; all
// zero where nothing is valid).
struct LevelTrace {
    double step_s = 0.05;
    std::vector<double> log_uv;  // natural log of the RMS of each step
    double rest = 0.0;           // log of the typical resting level
    double work = 0.0;           // log of the typical level of contractions
    double rest_spread = 0.0;    // robust SD of the log level at rest
};

LevelTrace trace_levels(const Envelope& envelope);

// A contraction as the envelope alone shows it.
struct Burst {
    TimeSpan span;
    double peak_uv = 0.0;
    bool firm = true;  // too long and strong for a twitch; what is not counts only where a cue asks for it
};

// True where rest varies up to the level that a contraction must pass, however much it is smoothed: bursts may then be joined,
// parted, or rest.
bool rest_is_restless(const LevelTrace& trace);

// All contractions of the recording, in order. Edges: no contrast, no burst.
std::vector<Burst> find_bursts(const LevelTrace& trace);

}  // namespace tracehold
