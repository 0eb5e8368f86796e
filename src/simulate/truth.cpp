#include <cmath>

#include "simulate/session.hpp"

namespace tracehold {
namespace {

double squared(double x) { return x * x; }

// Every channel's noise has RMS 1 in the band before it is given its size, so these mean squares are what is true of
// it.
std::vector<double> profile(const Session& session, Hertz rate, std::size_t size) {
    const Scenario& scenario = session.scenario;
    std::vector<double> power = power_of(session.main, rate, size), beside(size, 0.0);
    if (session.accessory) beside = power_of(*session.accessory, rate, size);
    for (std::size_t i = 0; i < size; ++i) {
        power[i] += squared(scenario.crosstalk_pct / 100) * beside[i] + squared(scenario.sensor_floor_uv);
    }
    return power;
}

double rest_power(const Scenario& scenario) {
    const double beside_uv = scenario.accessory ? scenario.crosstalk_pct / 100 * scenario.accessory->rest_uv : 0.0;
    return squared(scenario.muscle.rest_uv) + squared(beside_uv) + squared(scenario.sensor_floor_uv);
}

// Of the contractions alone, without any rest.
double contraction_power(const Performance& muscle, double time_s) {
    double power = 0.0;
    for (const Effort& effort : muscle.efforts) power += squared(contraction_uv(muscle.setting, effort, time_s));
    return power;
}

double plateau(const Session& session, double time_s) {
    double power = rest_power(session.scenario) + contraction_power(session.main, time_s);
    if (session.accessory)
        power += squared(session.scenario.crosstalk_pct / 100) * contraction_power(*session.accessory, time_s);
    return std::sqrt(power);
}

}  // namespace

Truth truth_of(const Session& session) {
    Truth truth;
    truth.plan_starts_s = session.scenario.lead_in_s;
    truth.faults = session.faults;
    truth.rest_uv = std::sqrt(rest_power(session.scenario));
    truth.contractions = session.contractions;
    for (TrueContraction& contraction : truth.contractions) {
        contraction.plateau_uv = plateau(session, contraction.rise_end_s);
    }
    const Hertz rate{truth.profile_rate_hz};
    const auto size = static_cast<std::size_t>(std::llround(session.duration_s * rate.value));
    for (const double power : profile(session, rate, size))
        truth.amplitude_uv.push_back(static_cast<float>(std::sqrt(power)));
    return truth;
}

}  // namespace tracehold
