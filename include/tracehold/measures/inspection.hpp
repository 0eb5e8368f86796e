#pragma once
// What a recording holds and whether it can be trusted; nothing scored.
#include <optional>
#include <string>
#include <vector>

#include "tracehold/clean/clean.hpp"
#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/note.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

// One channel. low and high: the extremes of the valid samples as read (µV, or the file's own unit for kind other).
struct ChannelInspection {
    std::string label;
    double rate_hz = 0.0;
    ChannelKind kind = ChannelKind::raw;
    std::string unit;
    std::size_t samples = 0;
    std::size_t valid = 0;  // neither missing nor in a gap
    std::optional<double> low{}, high{};
    std::optional<Quality> quality{};        // of an EMG channel that could be cleaned
    std::optional<double> noise_floor_uv{};  // with quality
    std::string unclean{};                   // why there is no quality; "" with one
};

// Always true: one entry per channel of the recording, same order.
struct Inspection {
    std::string source;
    std::string sha256;
    FileFormat format = FileFormat::csv;
    std::string person;
    std::optional<CivilTime> start;
    std::string posture;
    double duration_s = 0.0;
    std::vector<ChannelInspection> channels;
    std::vector<Mark> marks;
    std::vector<TimeSpan> gaps;
    std::vector<Note> notes;
};

// All but quality and noise_floor_uv, which the caller fills in for the channels that hold a voltage.
Inspection describe(const Recording& recording);

}  // namespace tracehold
