#pragma once
// What repeats itself exactly, as no muscle does: tones, the pulses of a stimulator, electronics near the electrode.
#include <span>

#include "clean/frames.hpp"
#include "clean/half_seconds.hpp"
#include "clean/ranges.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

// share: of the power in that which repeats, 0..1. sure: how much of it chance cannot explain; 0 where too little is
// valid to say. hz: where the spectrum is highest.
struct Repeating {
    double share = 0.0;
    double sure = 0.0;
    double hz = 0.0;
};

// Of the whole trace, and of what is at rest alone.
struct RepeatingParts {
    Repeating all, at_rest;
};

// In: band-passed trace after removal of mains, NaN where masked; low and high: its band; loud: in order, what is not at rest.
// Loud parts count by their power, so a tone in the contractions alone shows as one throughout does.
RepeatingParts find_repeating(std::span<const float> uv, Hertz rate, Hertz low, Hertz high, const Ranges& loud = {});

// What stands above twice the resting level. powers: short_powers of a trace of that size.
Ranges loud_parts(const Frames& powers, double rest_uv, std::size_t size);

// Pulses that were masked, one range each.
struct PulseTrain {
    double hz = 0.0;       // 0: they come at random, or are too few to say
    double seconds = 0.0;  // that the train lasts in all
};

// same_gap: how far, of the usual gap, half of the gaps may lie from it; of gaps at random one in 14 lies within a twentieth
// of their median.
PulseTrain find_pulse_train(const Ranges& spikes, Hertz rate, double same_gap = 0.05);

// The share of power that the strongest line of each half second carries, median over those, loud_ones of a trace: 1 of a
// tone, though it wanders, 0.1 to 0.3 of muscle, whose spectrum is 50 Hz wide and more. Edges: 0 where they are fewer than 10.
double share_of_one_line(std::span<const HalfSecond> loud);

}  // namespace tracehold
