#pragma once
// The verb of this room.
#include "tracehold/clean/clean.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

// Masks what cannot be believed, removes the mean, filters to the band, removes mains hum (and, where found, heart beats), and
// writes down what it found. One channel at a time.
// In: a recording, the number of one of its channels. Out: same length and rate as the channel.
// Edges: an envelope is masked but never filtered; runs of valid samples shorter than the filter's settling are masked.
// Errors: too_short (under 1 s of valid signal), bad_setting (band outside 0..fs/2), unsupported (channel kind other).
CleanRecording clean_recording(const Recording& recording, std::size_t channel, const CleanSettings& settings = {});

}  // namespace tracehold
