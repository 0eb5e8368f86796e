#pragma once
// Everything a scenario says, worked out once: what each muscle does, when, and which faults there are.
#include <cstddef>
#include <optional>
#include <vector>

#include "simulate/effort.hpp"
#include "simulate/random_stream.hpp"
#include "tracehold/core/units.hpp"
#include "tracehold/simulate/scenario.hpp"
#include "tracehold/simulate/truth.hpp"

namespace tracehold {

// A muscle with all it does in the session.
struct Performance {
    const MuscleSetting& setting;
    std::vector<Effort> efforts;
    double wander_turns = 0.0;  // phase of the slow change of its rest
    Purpose noise = Purpose::muscle_noise;
};

// The scenario must outlive it.
struct Session {
    const Scenario& scenario;
    Hertz rate;
    double duration_s;
    std::size_t size;
    std::vector<Fault> faults;
    std::vector<TrueContraction> contractions;  // plateau_uv not yet known
    Performance main;
    std::optional<Performance> accessory;
};

// Errors: bad_setting (contractions that overlap).
Session work_out(const Scenario& scenario);

// Mean square of the muscle at samples i / rate.
std::vector<double> power_of(const Performance& muscle, Hertz rate, std::size_t size);

// What is true of the main channel before any fault.
Truth truth_of(const Session& session);

}  // namespace tracehold
