#pragma once
// Where to look: the rough extent of each contraction, whether there is one, and the stretches of rest and plateau
// around it.
#include <cstddef>
#include <span>
#include <vector>

#include "cycles/mdct.hpp"
#include "cycles/onset_rest.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

// One contraction while it is being placed. All ranges in blocks, cut to what its neighbours leave.
struct Stretch {
    double cue_begin = 0.0;  // hops from block 0
    double cue_end = 0.0;
    BlockRange bounds;  // where this contraction may lie
    BlockRange rough;   // where its energies lie
    bool detected = false;
    bool above_rest = true;                 // by more than rest itself varies; detected only then
    double evidence = 0.0;                  // log likelihood ratio of plateau against rest over the rough extent
    BlockRange before, after;               // rest
    BlockRange rise_plateau, fall_plateau;  // at most kPlateau_s long, next to the rise and to the fall
    BlockRange onset_search, offset_search;
    double onset_near = 0.0,
           offset_near = 0.0;  // where rest ends and begins again, as far as is known; creep is told from here
};

// What is known of one contraction after a pass, in hops from block 0.
struct RoughTimes {
    double onset = 0.0, onset_early = 0.0, rise = 0.0;   // median, 2 % quantile, mean length of the rise
    double offset = 0.0, offset_late = 0.0, fall = 0.0;  // median, 98 % quantile
};

// In: cue windows in order. Out: one stretch per window with its ranges for a first pass (empty where nothing was
// detected).
std::vector<Stretch> find_stretches(const BlockEnergies& energies, const SessionRest& rest,
                                    std::span<const TimeSpan> windows);

// The ranges again, now that onset and offset are nearly known. Only where detected.
void narrow_ranges(std::vector<Stretch>& stretches, std::span<const RoughTimes> times, double hop_s);

}  // namespace tracehold
