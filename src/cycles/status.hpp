#pragma once
// What the envelope says of each cue: done, missed or unusable; and which contractions no cue asked for.
#include <span>
#include <vector>

#include "cycles/cues.hpp"
#include "cycles/level_trace.hpp"
#include "tracehold/envelope/envelope.hpp"

namespace tracehold {

// Share of valid samples of a stretch, 0 where it holds none.
double valid_share(const Envelope& envelope, TimeSpan span);

// True if the burst answers the cue: it reaches a fifth into the window from before (anticipation), or begins within
// the window or within the time that a late reaction may take, and before the middle of the rest.
bool answers(const Burst& burst, const CueWindow& window);

// True if masked signal, or the beginning of the recording, hides how the burst begins: it may be what is left of a contraction.
bool begins_unseen(const Burst& burst, const Envelope& envelope);

// The firm bursts that answer no window, cut where they reach into one, in order.
std::vector<CueWindow> extra_windows(std::span<const Burst> bursts, std::span<const CueWindow> windows);

// One window per firm burst, its rest up to the next one.
std::vector<CueWindow> windows_of_bursts(std::span<const Burst> bursts, double duration_s);

// Ends each rest at the next work window. In: in order, not overlapping.
void end_rests_at_next(std::vector<Cycle>& cycles);

}  // namespace tracehold
