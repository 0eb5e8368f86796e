#pragma once
// What one muscle does in a session: its contractions, and the amplitude that follows from them.
#include <cstddef>
#include <optional>
#include <vector>

#include "simulate/random_stream.hpp"
#include "tracehold/core/units.hpp"
#include "tracehold/simulate/scenario.hpp"

namespace tracehold {

// A contraction that is asked for. from_s, to_s: its cues, seconds of the recording.
struct Demand {
    std::optional<int> planned;
    StepKind kind = StepKind::hold;
    double from_s = 0.0;
    double to_s = 0.0;
    double rest_end_s = 0.0;
};

// Always true: onset <= rise_end <= fall_begin <= offset.
struct Effort {
    double onset_s = 0.0;
    double rise_end_s = 0.0;
    double fall_begin_s = 0.0;
    double offset_s = 0.0;
    double height_uv = 0.0;       // at rise_end, without the rest
    double spectrum_scale = 1.0;  // at the onset
};

// The planned contractions of the scenario at their times in the recording, pause and lead-in counted.
std::vector<Demand> demands(const Scenario& scenario);

// Plan time to recording time.
double recording_time(const Scenario& scenario, double plan_s);

// How the muscle answers a demand. number: of contractions before it. Drawn from the stream: height, lengths of rise
// and fall, reaction and release. not_before_s: the end of the contraction before.
Effort answer(const MuscleSetting& muscle, const Demand& demand, int number, RandomStream stream, double not_before_s);

// A contraction at will: begins at onset_s, falls at fall_begin_s, reaches share of the working amplitude.
Effort voluntary(const MuscleSetting& muscle, double onset_s, double fall_begin_s, double share, RandomStream stream);

// Share of its plateau that a ramp has reached after the share u of its length, both 0..1.
double ramp(RampShape shape, double u);

// Amplitude of the contraction alone at a time, RMS in µV; 0 outside.
double contraction_uv(const MuscleSetting& muscle, const Effort& effort, double time_s);

// Mean square of the muscle at samples i / rate: rest and contractions, added in power.
std::vector<double> muscle_power(const MuscleSetting& muscle, const std::vector<Effort>& efforts, double wander_turns,
                                 Hertz rate, std::size_t size);

// The factor of the spectrum's frequencies at a time: 1 at rest.
double spectrum_scale(const MuscleSetting& muscle, const std::vector<Effort>& efforts, double time_s);

}  // namespace tracehold
