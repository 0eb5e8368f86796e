#pragma once
// How much of what the scored channel shows in its contractions is the accessory channel's signal as well?
#include <optional>
#include <span>

#include "tracehold/clean/clean.hpp"
#include "tracehold/measures/cycle_view.hpp"

namespace tracehold {

// 'crosstalk' (caution) where the two cleaned traces, sample by sample, agree in the contractions that were found by more
// than chance, and what they share is a tenth of the power there (5 % of the amplitude), or as large as the muscle's rest,
// so that a contraction may seem to begin before the muscle does. r is Pearson's correlation, largest of all lags up to
// 10 ms; r^2 is the share of the power of either that the other explains. Two muscles that work together are as little
// alike as two noises: r within about 1 / sqrt(bandwidth * seconds). accessory: its cleaned trace. Edges: empty without
// one, where either is an exported amplitude, at different rates, where both are the very same samples, and where no
// contraction was found. Source: descriptive (Pearson); the bounds are our choices.
std::optional<Finding> crosstalk_finding(std::span<const CycleView> views, const CleanRecording* accessory);

}  // namespace tracehold
