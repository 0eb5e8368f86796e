#pragma once
// When each contraction of one session starts and ends. All cue windows go in together, because one person's contractions of
// one session rise alike and the length of the rise is learned from all of them.
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "tracehold/clean/clean.hpp"
#include "tracehold/cycles/cycles.hpp"
#include "tracehold/envelope/envelope.hpp"

namespace tracehold {

struct Placement {
    bool detected = false;      // is there a contraction at all?
    double evidence = 0.0;      // log likelihood ratio of plateau against rest
    std::optional<EventTime> onset;
    std::optional<EventTime> offset;
    std::optional<double> rise_20_s;
    std::optional<double> fall_20_s;
    std::string onset_reason;   // set where onset is empty
    std::string offset_reason;
};

// In: cue windows [contract, relax), in order, not overlapping. Out: one Placement per window, same order.
// Raw traces use the likelihood of a rise model on the trace; exported envelopes a two-level change point.
std::vector<Placement> place_contractions(const CleanRecording& clean, const Envelope& envelope,
                                          std::span<const TimeSpan> windows);

}  // namespace tracehold
