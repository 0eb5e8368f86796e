#pragma once
// What to simulate. Amplitudes are RMS in µV in the band 20-450 Hz (or up to half the rate); times in seconds.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/units.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold {

// The share of the plateau that a rise has reached after a share u of its length: u; (1 - cos pi u) / 2;
// (1 - e^-3u) / (1 - e^-3); u^2. A fall is the mirror image of the rise in time.
enum class RampShape { linear, cosine, exponential, quadratic };
std::string_view to_string(RampShape shape);

// One muscle. Its activity is sqrt(rest^2 + contraction^2). Everything random is drawn from the seed, normal, cut
// at 2.5 SD.
struct MuscleSetting {
    double rest_uv = 2.0;
    double rest_wander_pct = 0.0;  // slow change of the rest: up to this much more and less
    double work_uv = 20.0;         // of the contraction alone, at the start of its plateau
    double work_spread_pct = 5.0;  // SD between contractions
    double rise_s = 0.3;           // length of the ramp, 0 = abrupt
    double fall_s = 0.3;
    double ramp_spread_pct = 15.0;  // SD of each contraction's ramp length about the person's own
    RampShape shape = RampShape::linear;
    double reaction_s = 0.25;  // onset after the contract cue; negative anticipates
    double reaction_spread_s = 0.08;
    double release_s = 0.3;  // start of the fall after the relax cue
    double release_spread_s = 0.1;
    double fade_pct_per_s = 0.0;      // loss of amplitude within a hold, of its start (never below a tenth)
    double fade_pct_per_cycle = 0.0;  // and from hold to hold, of the one before
    double spectrum_low_hz = 60.0;    // k fh^4 f^2 / ((f^2 + fl^2)(f^2 + fh^2)^2)
    double spectrum_high_hz = 120.0;
    double compression_pct_per_s = 0.0;  // loss of both frequencies within a hold, of its start (never below a third)
    double compression_pct_per_cycle = 0.0;  // and from hold to hold, of the one before
};

// Added to the trace: hum .. twitch. Put in place of it, in this order: clipping, contact_*, gap.
// hum, heart_beats, contact_open and gap reach every channel, the others the main channel alone.
enum class FaultKind {
    hum,           // mains and its 2nd, 3rd, 5th, 7th harmonic (as far as the rate holds them); strength: RMS of all
    wobbling_hum,  // the same, +-0.1 Hz over 17 s and +-30 % over 11 s
    drift,         // three slow waves of 0.03-0.4 Hz; strength: peak they cannot exceed
    heart_beats,   // P, QRS and T, intervals that vary by 5 % with the breath and 3 % at random; strength: peak of R
    motion_burst,  // 1-30 Hz under a Hann window, 0.6 s unless said; strength: peak
    spikes,        // impulses of 0.5 ms at random times, hz a second; strength: peak
    twitch,        // a burst of the muscle itself that is no contraction, 0.2 s unless said; strength: RMS
    clipping,      // strength: the level at which both sides are cut
    contact_flat,  // a constant line; strength: its level
    contact_rail,  // stuck at the recorder's positive limit; strength: that limit
    contact_open,  // electrode off: hum (RMS = strength) and a tenth of it of noise instead of muscle
    gap,           // nothing recorded: NaN; strength: none
};
std::string_view to_string(FaultKind kind);

struct Fault {
    FaultKind kind = FaultKind::hum;
    double strength_uv = 0.0;
    double from_s = 0.0;    // of the recording
    double length_s = 0.0;  // 0 = to the end (motion_burst, twitch: their own length)
    double hz = 0.0;        // 0 = 50 (hum), 1.1 (beats a second), 0.5 (spikes a second)
};

// How the recording is meant to be written: 'file' says the format by its ending: .csv or .edf, or both in capitals.
struct FileStyle {
    std::string file;
    char delimiter = ',';
    char decimal = '.';
    std::string unit = "uV";  // uV, mV, V
    int decimals = 3;
    bool operator==(const FileStyle&) const = default;
};

struct Scenario {
    std::string name = "session";
    std::string person = "demo";
    std::optional<CivilTime> start;
    Plan plan;
    std::uint64_t seed = 1;
    double rate_hz = 2000.0;
    double lead_in_s = 0.0;  // something else before the plan starts: rest and about one trial contraction in 8 s;
                             // negative: the recorder was started that much too late
    double sensor_floor_uv = 0.7;  // white
    MuscleSetting muscle;
    std::optional<MuscleSetting> accessory;  // works along, on its own channel
    double crosstalk_pct = 0.0;              // of the accessory muscle's amplitude in the main channel
    std::vector<int> missed;                 // numbers of planned contractions that are not performed, from 1
    std::vector<double> extra_s;             // onsets of contractions of 2 s nobody asked for, seconds of plan time
    int pause_after_cycle = 0;               // a pause after this planned cycle (0 = none) ...
    double pause_s = 0.0;                    // ... of this length: later cues shift
    std::vector<Fault> faults;
    bool marks = true;                   // cue marks in the file
    std::optional<Hertz> envelope_rate;  // export as an amplitude at this rate instead of the raw trace
    FileStyle style;
};

}  // namespace tracehold
