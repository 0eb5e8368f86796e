#include "simulate/check_scenario.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

void within(const std::string& place, double value, double low, double high) {
    if (std::isfinite(value) && value >= low && value <= high) return;
    const std::string saw = std::isfinite(value) ? number_text(value) : "a number that is not finite";
    refuse_scenario(place,
                    fmt::format("out of range: saw {}, expected {} to {}", saw, number_text(low), number_text(high)));
}

// Our choices: what no muscle or recorder does, or what the simulator cannot make.
void check_muscle(const std::string& at, const MuscleSetting& m, double rate_hz) {
    within(at + "/rest_uv", m.rest_uv, 0, 1000);
    within(at + "/rest_wander_pct", m.rest_wander_pct, 0, 100);
    within(at + "/work_uv", m.work_uv, 0, 10000);
    within(at + "/work_spread_pct", m.work_spread_pct, 0, 100);
    within(at + "/rise_s", m.rise_s, 0, 10);
    within(at + "/fall_s", m.fall_s, 0, 10);
    within(at + "/ramp_spread_pct", m.ramp_spread_pct, 0, 100);
    within(at + "/reaction_s", m.reaction_s, -5, 10);
    within(at + "/reaction_spread_s", m.reaction_spread_s, 0, 5);
    within(at + "/release_s", m.release_s, -5, 10);
    within(at + "/release_spread_s", m.release_spread_s, 0, 5);
    within(at + "/fade_pct_per_s", m.fade_pct_per_s, -100, 100);
    within(at + "/fade_pct_per_cycle", m.fade_pct_per_cycle, -100, 100);
    within(at + "/spectrum_low_hz", m.spectrum_low_hz, 15, rate_hz / 2);
    within(at + "/spectrum_high_hz", m.spectrum_high_hz, m.spectrum_low_hz, rate_hz / 2);
    within(at + "/compression_pct_per_s", m.compression_pct_per_s, 0, 50);
    within(at + "/compression_pct_per_cycle", m.compression_pct_per_cycle, 0, 50);
}

double highest_hz(FaultKind kind, double rate_hz) {
    if (kind == FaultKind::heart_beats) return 5;
    if (kind == FaultKind::spikes) return 100;
    return rate_hz / 2;
}

void check_fault(const std::string& at, const Fault& fault, const Scenario& scenario) {
    const double length_s = recording_length(scenario).value;
    within(at + "/strength_uv", fault.strength_uv, fault.kind == FaultKind::contact_flat ? -1e5 : 0, 1e5);
    within(at + "/from_s", fault.from_s, 0, length_s);
    within(at + "/length_s", fault.length_s, 0, length_s);
    within(at + "/hz", fault.hz, 0, highest_hz(fault.kind, scenario.rate_hz));
    const bool whole = fault.from_s == 0 && (fault.length_s == 0 || fault.length_s >= length_s);
    if (fault.kind == FaultKind::gap && whole) refuse_scenario(at, "a gap over the whole recording leaves nothing");
}

void check_cycles(const Scenario& scenario) {
    const int planned = static_cast<int>(timeline(scenario.plan).size());
    for (std::size_t i = 0; i < scenario.missed.size(); ++i) {
        within(fmt::format("/missed/{}", i), scenario.missed[i], 1, planned);
    }
    within("/pause_after_cycle", scenario.pause_after_cycle, 0, planned);
    for (std::size_t i = 0; i < scenario.extra_s.size(); ++i) {
        within(fmt::format("/extra_s/{}", i), scenario.extra_s[i], 0, plan_length(scenario.plan).value);
    }
}

}  // namespace

void refuse_scenario(const std::string& place, const std::string& message) {
    throw Error(ErrorKind::bad_setting, "scenario", place, message);
}

Seconds recording_length(const Scenario& scenario) {
    const double pause_s = scenario.pause_after_cycle > 0 ? scenario.pause_s : 0.0;
    return Seconds{scenario.lead_in_s + plan_length(scenario.plan).value + pause_s};
}

void check_scenario(const Scenario& scenario) {
    within("/rate_hz", scenario.rate_hz, 100, 50000);
    within("/lead_in_s", scenario.lead_in_s, -plan_length(scenario.plan).value + 1, 3600);
    within("/pause_s", scenario.pause_s, 0, 3600);
    within("/sensor_floor_uv", scenario.sensor_floor_uv, 0, 1000);
    within("/crosstalk_pct", scenario.crosstalk_pct, 0, 100);
    check_cycles(scenario);
    constexpr double kLongest_s = 6 * 3600.0, kMostSamples = 2e8;
    const double length_s = recording_length(scenario).value;
    within("/plan", length_s, 1, std::min(kLongest_s, kMostSamples / scenario.rate_hz));
    check_muscle("/muscle", scenario.muscle, scenario.rate_hz);
    if (scenario.accessory) check_muscle("/accessory", *scenario.accessory, scenario.rate_hz);
    for (std::size_t i = 0; i < scenario.faults.size(); ++i) {
        check_fault(fmt::format("/faults/{}", i), scenario.faults[i], scenario);
    }
    if (scenario.envelope_rate) within("/envelope_rate_hz", scenario.envelope_rate->value, 1, scenario.rate_hz / 4);
}

}  // namespace tracehold
