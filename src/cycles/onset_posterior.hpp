#pragma once
// Where the rises of one side begin, as probabilities over time.
#include <array>
#include <span>
#include <vector>

#include "cycles/onset_levels.hpp"
#include "cycles/rise_model.hpp"
#include "cycles/rise_model_prior.hpp"

namespace tracehold {

// Ramps of every shape for one length of hop, and the habits they may follow: the same for all sides and passes.
struct RiseModel {
    std::array<std::vector<Ramp>, kShapes> ramps;
    std::vector<RiseHabit> habits;
};
RiseModel make_rise_model(double hop_s);

// One side of a session, weighed: levels and, per shape, what was learned of the lengths. The tables are not kept: a
// quarter of a megabyte a contraction would grow to gigabytes over a day.
struct WeighedSide {
    std::vector<Side> sides;
    std::vector<SideLevels> levels;
    std::array<RisePosterior, kShapes> by_shape;
    // Minus infinity for shapes that were not asked for; 0 for all others where most events lie at an end of what was
    // searched: ramps that do not fit there say nothing of their shape.
    std::array<double, kShapes> log_evidence{};
};
WeighedSide weigh_side(const BlockEnergies& energies, const SessionRest& rest, std::vector<Side> sides,
                       const RiseModel& model, std::span<const RiseShape> shapes);

// Probability of each shape, one shape per session: prior times the evidence of both sides. The answer bets on the
// likely shapes; the interval starts from a prior that gives the unlikely ones more room, so that it covers them too.
struct ShapeProbabilities {
    std::array<double, kShapes> answer{};
    std::array<double, kShapes> interval{};
};
ShapeProbabilities shape_probabilities(const WeighedSide& rise, const WeighedSide& fall);

// A posterior in hops: quantiles, spread, mean length of the rise, the median time of the 20 % level, and the
// probability that lies at the two ends of what was searched. Where the rise may be longer than any that is known, the
// interval is open to an earlier start.
struct EventPosterior {
    double q025 = 0.0, q02 = 0.0, median = 0.0, q975 = 0.0;
    double spread = 0.0;
    double rise = 0.0;
    double fifth = 0.0;
    double at_border = 0.0;
};
std::vector<EventPosterior> event_posteriors(const BlockEnergies& energies, const WeighedSide& side,
                                             const RiseModel& model, const ShapeProbabilities& shapes);

}  // namespace tracehold
