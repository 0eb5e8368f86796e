#pragma once
// Cues of another clock than the trace: all contractions lie the same time before, or after, what asks for them.
#include <span>
#include <vector>

#include "cycles/cues.hpp"
#include "cycles/level_trace.hpp"

namespace tracehold {

// Where the contractions that were asked for are to be looked for: each window moved by how much later (earlier, negative) the
// bursts begin, or as it is. Moved where in one second, up to 10 s to either side, as many bursts begin as two thirds of the
// windows, or of the bursts where they are fewer, at least 3 and a third of the windows; and less than three quarters as many from 0.5 s
// before to 1.5 s after the cues. Of more such seconds the one nearest to the cues. All windows by the same time; where there is
// none, those of each step of a plan by their own if they come late, as slow flicks do. Our choices.
// Always true: as many windows as given, in the same order.
std::vector<CueWindow> windows_where_answered(std::span<const Burst> bursts, std::span<const CueWindow> windows);

}  // namespace tracehold
