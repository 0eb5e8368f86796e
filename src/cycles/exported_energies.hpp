#pragma once
// An amplitude as a recorder exports it, as the energies that the likelihoods of this room are made of.
#include <span>

#include "cycles/mdct.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

// In: an amplitude in any unit, NaN = masked, at any rate. Out: its squares every 10 ms, one bin, between samples on a
// straight line; what its window averages and how many degrees of freedom it leaves, both from how neighbouring values
// differ. Edges: a block beside a masked sample is not valid; fewer than two samples give no bin.
BlockEnergies exported_energies(std::span<const float> uv, Hertz rate);

}  // namespace tracehold
