#pragma once
// Which contractions this person began early or late.
#include <vector>

#include "tracehold/cycles/cycles.hpp"

namespace tracehold {

// Sets `begins` of each contraction done that has an onset, against the median of (onset - contract cue) over all of them; leaves it
// empty for the others, for all where fewer than 4 have an onset, and without cues. Early: more than 0.25 s before that median, late:
// more than 0.3 s after it, and the whole interval of the onset to that side of the median. So that a habit excuses nothing, the
// median counts as at most 0.5 s and at least 0 s for early, at most 1 s and at least 0.2 s for late.
void tell_beginnings(std::vector<Cycle>& cycles, CueSource cues);

}  // namespace tracehold
