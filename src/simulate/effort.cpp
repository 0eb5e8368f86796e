#include "simulate/effort.hpp"

#include <algorithm>
#include <cmath>

#include "simulate/plain_math.hpp"

namespace tracehold {
namespace {

constexpr double kLeastRampShare = 0.3;  // of the person's own ramp, whatever is drawn
constexpr double kLeastHeightShare = 0.1;
constexpr double kWanderPeriod_s = 41.0;  // our choice: slower than a cycle, not a multiple of usual ones

double without(double pct, int times) {
    double share = 1.0;
    for (int i = 0; i < times; ++i) share *= 1 - pct / 100;
    return share;
}

// Lengths of rise and fall, drawn together.
struct Ramps {
    double rise_s;
    double fall_s;
};
Ramps draw_ramps(const MuscleSetting& muscle, RandomStream& stream) {
    const auto factor = [&] { return std::max(kLeastRampShare, 1 + stream.spread(muscle.ramp_spread_pct / 100)); };
    const double rise = factor();
    return {muscle.rise_s * rise, muscle.fall_s * factor()};
}

double draw_height(const MuscleSetting& muscle, RandomStream& stream) {
    return muscle.work_uv * std::max(kLeastHeightShare, 1 + stream.spread(muscle.work_spread_pct / 100));
}

}  // namespace

double recording_time(const Scenario& scenario, double plan_s) {
    const auto cycles = timeline(scenario.plan);
    const int after = scenario.pause_after_cycle;
    const bool paused = after > 0 && plan_s >= cycles.at(static_cast<std::size_t>(after - 1)).end_s;
    return scenario.lead_in_s + plan_s + (paused ? scenario.pause_s : 0.0);
}

std::vector<Demand> demands(const Scenario& scenario) {
    std::vector<Demand> out;
    for (const PlannedCycle& cycle : timeline(scenario.plan)) {
        const int number = static_cast<int>(out.size()) + 1;
        const double shift = recording_time(scenario, cycle.contract_s) - cycle.contract_s;
        const double pause = number == scenario.pause_after_cycle ? scenario.pause_s : 0.0;
        out.push_back(
            {number, cycle.kind, cycle.contract_s + shift, cycle.relax_s + shift, cycle.end_s + shift + pause});
    }
    return out;
}

Effort answer(const MuscleSetting& muscle, const Demand& demand, int number, RandomStream stream, double not_before_s) {
    Effort effort;
    effort.height_uv = draw_height(muscle, stream) * without(muscle.fade_pct_per_cycle, number);
    const Ramps ramps = draw_ramps(muscle, stream);
    const double reaction = muscle.reaction_s + stream.spread(muscle.reaction_spread_s);
    const double release = muscle.release_s + stream.spread(muscle.release_spread_s);
    effort.onset_s = std::max(not_before_s, demand.from_s + reaction);
    effort.rise_end_s = effort.onset_s + ramps.rise_s;
    effort.fall_begin_s = std::max(effort.rise_end_s, demand.to_s + release);
    effort.offset_s = effort.fall_begin_s + ramps.fall_s;
    effort.spectrum_scale = without(muscle.compression_pct_per_cycle, number);
    return effort;
}

Effort voluntary(const MuscleSetting& muscle, double onset_s, double fall_begin_s, double share, RandomStream stream) {
    Effort effort;
    effort.height_uv = share * draw_height(muscle, stream);
    const Ramps ramps = draw_ramps(muscle, stream);
    effort.onset_s = onset_s;
    effort.rise_end_s = onset_s + ramps.rise_s;
    effort.fall_begin_s = std::max(effort.rise_end_s, fall_begin_s);
    effort.offset_s = effort.fall_begin_s + ramps.fall_s;
    return effort;
}

double ramp(RampShape shape, double u) {
    switch (shape) {
        case RampShape::linear: return u;
        case RampShape::cosine: return (1 - plain::cos_turns(u / 2)) / 2;
        case RampShape::exponential: return (1 - plain::exp(-3 * u)) / (1 - plain::exp(-3));
        case RampShape::quadratic: return u * u;
    }
    return u;
}

double contraction_uv(const MuscleSetting& muscle, const Effort& effort, double time_s) {
    if (time_s < effort.onset_s || time_s >= effort.offset_s) return 0.0;
    if (time_s < effort.rise_end_s) {
        return effort.height_uv * ramp(muscle.shape, (time_s - effort.onset_s) / (effort.rise_end_s - effort.onset_s));
    }
    const double kept = 1 - muscle.fade_pct_per_s / 100 * (time_s - effort.rise_end_s);
    const double plateau = effort.height_uv * std::max(kLeastHeightShare, kept);
    if (time_s < effort.fall_begin_s) return plateau;
    return plateau * ramp(muscle.shape, (effort.offset_s - time_s) / (effort.offset_s - effort.fall_begin_s));
}

std::vector<double> muscle_power(const MuscleSetting& muscle, const std::vector<Effort>& efforts, double wander_turns,
                                 Hertz rate, std::size_t size) {
    std::vector<double> power(size, muscle.rest_uv * muscle.rest_uv);
    if (muscle.rest_wander_pct != 0) {
        for (std::size_t i = 0; i < size; ++i) {
            const double wave = plain::sin_turns(time_of(i, rate) / kWanderPeriod_s + wander_turns);
            const double rest = muscle.rest_uv * (1 + muscle.rest_wander_pct / 100 * wave);
            power[i] = rest * rest;
        }
    }
    for (const Effort& effort : efforts) {
        const SampleRange range = samples_in({effort.onset_s, effort.offset_s}, rate, size);
        for (std::size_t i = range.begin; i < range.end; ++i) {
            const double uv = contraction_uv(muscle, effort, time_of(i, rate));
            power[i] += uv * uv;
        }
    }
    return power;
}

double spectrum_scale(const MuscleSetting& muscle, const std::vector<Effort>& efforts, double time_s) {
    constexpr double kLeast = 1.0 / 3;
    for (const Effort& effort : efforts) {
        if (time_s < effort.onset_s || time_s >= effort.offset_s) continue;
        const double within = 1 - muscle.compression_pct_per_s / 100 * (time_s - effort.onset_s);
        return std::max(kLeast, effort.spectrum_scale * within);
    }
    return 1.0;
}

}  // namespace tracehold
