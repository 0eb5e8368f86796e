#pragma once
// What contractions say of a plan, as log evidence against a trace in which all of them are unasked for.
#include <cstddef>
#include <span>

#include "cycles/level_trace.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

// Our choices, as broad as people are; the answer hardly moves with any of them halved or doubled, the confidence
// somewhat.
inline constexpr double kDelay_s = 0.3;  // from a cue to the begin (or end) of the contraction
inline constexpr double kMostDelay_s = 3.0;
inline constexpr double kBeforeGap_s = 20.0;  // contractions before the plan: one in 20 s ...
inline constexpr double kAfterGap_s = 100.0;  // ... and after it one in 100 s, but either rate is exponential about that
inline constexpr double kMissed = 0.15;       // share of missed contractions

inline constexpr double kNever = -1e300;  // log evidence of what is impossible

// ln(e^a + e^b); kNever where both are.
double log_sum(double a, double b);

// Of one contraction that was asked for at these times: that it was performed, or missed. In: bursts in order.
double cycle_evidence(std::span<const Burst> bursts, TimeSpan cue);

// That so many contractions in so long a time lie outside the plan, one in about gap_s, against the same unasked within it. The
// rate is integrated out.
double outside(std::ptrdiff_t count, double length_s, double gap_s);

// That the plan was not performed: contractions at random times, or a rhythm of the person's own.
double no_plan(std::span<const Burst> bursts, double duration_s);

}  // namespace tracehold
