#pragma once
// Sessions with known onsets and offsets, for measuring how well contractions are placed.
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "tracehold/clean/clean.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold::testing {

enum class CellShape { linear, cosine, exponential, quadratic };

// Amplitude of the activity at share u of a rise; a fall is the same backwards in time.
double cell_amplitude(CellShape shape, double u);

struct CellFaults {
    double hum_uv = 0.0;    // RMS at 50 Hz and a third of it at 150 Hz, not removed
    double beats_uv = 0.0;  // peak, 1.1 per second
    double creep = 0.0;     // rest RMS grows by this share over the last 1.5 s before an onset and after an offset
    bool bursts = false;    // 0.15 s of plateau amplitude in every third rest
    bool falling_plateau = false;  // 6 % per second, and a 2-Hz flutter of 15 %
    bool masked = false;           // 60 ms missing near every second onset and offset
    bool missed = false;           // every fourth contraction is not performed
};

// snr_db: 20 log10 of the RMS of plateau activity alone over the RMS of rest, both before the band-pass filter.
struct OnsetCell {
    std::string name;
    CellShape shape = CellShape::linear;
    std::optional<CellShape> fall_shape{};  // where it is another one
    bool from_rest = false;  // the shape is of the amplitude that is seen, from rest to plateau, not of the activity added to rest
    double ramp_s = 0.3;  // the person's own; each contraction's lies within 30 % of it
    double snr_db = 10.0;
    double rate_hz = 2000.0;
    double work_s = 5.0;
    double rest_s = 5.0;
    double reaction_low_s = 0.15, reaction_high_s = 0.5;
    CellFaults faults;
};

struct OnsetSession {
    CleanRecording clean;
    std::vector<TimeSpan> windows;
    std::vector<double> onset_s, offset_s;
    std::vector<double> rise_20_s, fall_20_s;  // where the shape is at a fifth of its height
    std::vector<bool> performed;
};

// Deterministic by seed.
OnsetSession make_onset_session(const OnsetCell& cell, int contractions, std::uint64_t seed);

}  // namespace tracehold::testing
