#pragma once
// How much rest and how much activity each contraction shows: what a rise goes from and to.
#include <span>
#include <vector>

#include "cycles/mdct.hpp"
#include "cycles/onset_windows.hpp"
#include "cycles/rise_model.hpp"

namespace tracehold {

// One side of one contraction as a rise to be placed: for falls, everything is in reversed blocks.
struct Side {
    BlockRange rest;
    BlockRange plateau;
    BlockRange search;
    double anchor = 0.0;  // hops; creep is told from here
};

// In: the same side of all detected contractions of a session. Out: their levels, in the same order.
std::vector<SideLevels> estimate_levels(const OrderedBlocks& energies, const SessionRest& rest,
                                        std::span<const Side> sides);

}  // namespace tracehold
