#pragma once
// Where the rises of one side begin, as probabilities over time.
#include <array>
#include <memory>
#include <span>
#include <vector>

#include "cycles/onset_starts.hpp"
#include "cycles/onset_levels.hpp"
#include "cycles/rise_model.hpp"
#include "cycles/rise_model_prior.hpp"

namespace tracehold {

// None of kinds that were not asked for.
using RampsOfKinds = std::array<std::shared_ptr<const std::vector<Ramp>>, kKinds>;

// Ramps of every shape, for one length of hop and one view, and the habits they may follow: the same for all sides and
// passes.
struct RiseModel {
    std::array<std::vector<SeenRamp>, kRiseShapes.size()> seen;  // as kRiseShapes
    RampsOfKinds ramps;                                          // of kinds that need no level of rest
    std::span<const RiseHabit> habits;
};
RiseModel make_rise_model(double hop_s, BlockView view = {});
// The same: the one that this thread asked for last, where it is that one.
std::shared_ptr<const RiseModel> shared_rise_model(double hop_s, BlockView view);

// One side of a session, weighed: levels, ramps of every kind and, per kind, what was learned of the lengths. The tables are
// not kept: a quarter of a megabyte a contraction would grow to gigabytes over a day.
struct WeighedSide {
    std::vector<Side> sides;
    std::vector<SideLevels> levels;
    RampsOfKinds ramps;
    std::vector<LikelyStarts> likely;  // of each contraction, empty from the 500th on
    std::array<RisePosterior, kKinds> by_kind;
    // Minus infinity for kinds that were not asked for; 0 for all others where most events lie at an end of what was
    // searched: ramps that do not fit there say nothing of their shape.
    std::array<double, kKinds> log_evidence{};
};
WeighedSide weigh_side(const OrderedBlocks& energies, const SessionRest& rest, std::vector<Side> sides,
                       const RiseModel& model, std::span<const std::size_t> kinds);

// Probability of each kind, one per session and side: prior times evidence. Rises and falls are often, not always, of one
// kind, so that half of the prior of a side follows the other one. The answer bets on the likely kinds; the interval starts
// from a prior that gives the unlikely ones more room, so that it covers them too.
struct KindProbabilities {
    std::array<double, kKinds> answer{};
    std::array<double, kKinds> interval{};
};
KindProbabilities kind_probabilities(const WeighedSide& side, const WeighedSide& other);

// A posterior in hops, each of the first block that sees the onset: quantiles, spread, mean length of the rise, the median time of the 20 % level, and the
// probability that lies at the two ends of what was searched. Where the rise may be longer than any that is known, the
// interval is open to an earlier start.
struct EventPosterior {
    double q025 = 0.0, q02 = 0.0, median = 0.0, q975 = 0.0;
    double spread = 0.0;
    double rise = 0.0;
    double fifth = 0.0;
    double at_border = 0.0;
};
std::vector<EventPosterior> event_posteriors(const OrderedBlocks& energies, const WeighedSide& side,
                                             const RiseModel& model, const KindProbabilities& kinds);

}  // namespace tracehold
