#pragma once
#include <span>
#include <vector>

#include "tracehold/core/units.hpp"
#include "tracehold/cycles/place_contractions.hpp"

namespace tracehold {

// Placements on an amplitude as a recorder exports it (4-100 Hz): a two-level change point for each side of each
// window.
std::vector<Placement> place_on_envelope(std::span<const float> uv, Hertz rate, std::span<const TimeSpan> windows);

}  // namespace tracehold
