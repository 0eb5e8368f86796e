#pragma once
// The noun of this room: one channel, cleaned, and what can be said of its trustworthiness.
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/units.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

enum class Severity {
    note,     // worth knowing, changes no number
    caution,  // numbers may be off; read them with this in mind
    reject,   // the recording (or the named spans) cannot be scored
};
std::string_view to_string(Severity severity);

// One thing found in the signal. code: stable snake_case; text: plain words for a clinician, with the figures that led
// to it.
struct Finding {
    std::string code;
    Severity severity = Severity::note;
    std::string text;
    std::vector<TimeSpan> spans;  // empty: the whole recording
    bool operator==(const Finding&) const = default;
};

// Hum at the mains frequency and its harmonics, measured on the band-passed trace before removal.
struct MainsHum {
    double hz = 50.0;             // 50 or 60: the stronger, or the one asked for
    double rms_uv = 0.0;          // fundamental and harmonics together
    double share_of_power = 0.0;  // 0..1
    bool removed = false;
};

// usable is false exactly when a finding with severity reject covers the whole recording.
struct Quality {
    bool usable = true;
    double masked_s = 0.0;
    std::optional<MainsHum> mains;  // empty for envelopes
    std::vector<Finding> findings;
};

bool has_finding(const Quality& quality, std::string_view code);

// The notes that cast doubt, as cautions.
void add_doubts(std::span<const Note> notes, Quality& quality);

enum class MainsRemoval {
    off,
    automatic,
    hz50,
    hz60
};  // automatic: where found; hz50/hz60: at that frequency where found

struct CleanSettings {
    Hertz high_pass{20.0};  // -3.01 dB point of the double pass
    Hertz low_pass{450.0};  // lowered to 0.45 fs where fs is small
    int order = 4;          // of each pass
    MainsRemoval mains = MainsRemoval::automatic;
    std::vector<TimeSpan> mask = {};  // masked by a clinician's correction
};

// Always true: uv has the channel's length; NaN exactly where masked.
struct CleanRecording {
    std::string label;
    Hertz rate{1.0};
    ChannelKind kind = ChannelKind::raw;
    std::vector<float> uv;
    double low_hz = 0.0;  // the band in use; 0, 0 for envelopes
    double high_hz = 0.0;
    double bandwidth_hz =
        0.0;  // equivalent statistical bandwidth (int G)^2 / int G^2 of the cleaned trace; 0 for envelopes
    Quality quality;
    std::vector<TimeSpan> masked;  // the NaN runs, as times
    std::vector<TimeSpan> clipped;  // in order: at the recorder's limits, masked or kept, so that amplitudes there are lower limits
};

}  // namespace tracehold
