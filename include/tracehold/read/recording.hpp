#pragma once
// The noun of this room: what one file holds, in one shape whatever its format.
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/note.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

enum class FileFormat { csv, edf, edf_plus_c, edf_plus_d, bdf, bdf_plus_c, bdf_plus_d, simulated };
std::string_view to_string(FileFormat format);  // "csv", "edf", "edf+c", ...

enum class ChannelKind {
    raw,       // the electrical signal itself, both signs
    envelope,  // already an amplitude
    other,     // not a voltage: an angle, a pressure, a counter
};
std::string_view to_string(ChannelKind kind);  // "raw", "envelope", "other"

// Always true: rate > 0; samples are µV for raw and envelope and the file's own unit for other; NaN where the file has no
// valid sample (empty cell, gap between EDF+D records). Sample i stands at i / rate from the start of the recording; all
// channels start together.
struct Channel {
    std::string label;  // as the file wrote it, UTF-8; several may share one
    Hertz rate{1.0};
    ChannelKind kind = ChannelKind::raw;
    std::string unit;       // as the file (or the user) said it; "" if nobody did
    bool unit_known = true; // false: nobody names a unit of known size, microvolts assumed, a Note says so
    std::vector<float> samples;
    std::optional<float> low_limit;   // the recorder's rails in the unit of samples, where the file states them
    std::optional<float> high_limit;
    std::optional<float> step;        // one digital step in the unit of samples, where the file states it
    std::string prefilter;            // as the file wrote it
    std::vector<Note> doubts;         // what casts doubt on this channel alone
};

// A mark in the file: an EDF+ annotation, or a change in a CSV marker column.
struct Mark {
    double time_s = 0.0;      // from the start of the recording
    double duration_s = 0.0;  // 0 if not stated
    std::string text;
    bool operator==(const Mark&) const = default;
};

// Always true: at least one channel with at least one sample; marks in order of time.
struct Recording {
    std::string source;  // the file as the user named it
    std::string sha256;  // of its bytes, 64 hex digits; "" if not hashed
    FileFormat format = FileFormat::csv;
    std::string person;                  // "" if unknown
    std::optional<CivilTime> start;      // never invented
    std::string posture;                 // "" if unknown
    std::vector<Channel> channels;
    std::vector<Mark> marks;
    std::vector<TimeSpan> gaps;          // where the recorder itself was interrupted (EDF+D, jumps in a time column)
    std::vector<Note> notes;

    double duration_s() const;  // of the longest channel
};

// What the user says about a file, which beats what the file says. Every use adds a Note.
struct ReadSettings {
    std::optional<Hertz> rate;         // for CSV without a time column
    std::string unit;                  // "uV", "mV", "V"; "" = as the file says
    std::optional<ChannelKind> kind;   // raw or envelope; empty = as found
};

}  // namespace tracehold
