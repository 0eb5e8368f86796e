#pragma once
// When each contraction of one session starts and ends. All cue windows go in together, because one person's
// contractions of one session rise alike and the length of the rise is learned from all of them.
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "tracehold/clean/clean.hpp"
#include "tracehold/cycles/cycles.hpp"
#include "tracehold/envelope/envelope.hpp"

namespace tracehold {

// Always true: where onset or offset is empty its reason is not; neither is set unless detected; onset before offset.
// EventTime: the median of what is believed, its spread as error, 2.5-97.5 % of it as interval.
struct Placement {
    bool detected = false;   // is there a contraction at all?
    bool above_rest = true;  // by more than rest itself varies from stretch to stretch; detected only then
    double evidence = 0.0;   // log likelihood ratio of plateau against rest, nats
    std::optional<EventTime> onset;
    std::optional<EventTime> offset;
    std::optional<double>
        rise_20_s;  // when the amplitude passes 20 % of the plateau: leans less on the shape of the rise
    std::optional<double> fall_20_s;
    std::string onset_reason;
    std::string offset_reason;
};

// In: cue windows [contract, relax), in order, not overlapping; any rate. Out: one Placement per window, same order.
// The likelihood of a rise on the energies of the trace, the length of rises learned from all windows together. Of an
// exported envelope, on its squares, seen through the recorder's window, whose length is told from how neighbouring values
// differ: times as if it looked to both sides; intervals begin half of it earlier, for it may look back, and neither they
// nor the error are finer than a sample step. Edges: masked samples say nothing and widen the interval; nothing found: 'no
// contraction found in this window'; interval over 1.2 s: 'onset not detectable'; probability piled up at an end of the
// search, an interval up to the end of what may belong to the cue, or less rest beside the event than the interval is wide:
// no time, with that reason; a rate too low for a bin of the band, or no valid sample: not detected, with that reason.
std::vector<Placement> place_contractions(const CleanRecording& clean, const Envelope& envelope,
                                          std::span<const TimeSpan> windows);

}  // namespace tracehold
