#pragma once
// What the lines above the data of a CSV recording say in words.
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "read/csv_layout.hpp"
#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/note.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

struct CsvSayings {
    std::optional<double> rate_hz;  // all lines that say one agree
    std::string unit;
    std::string other_unit;          // of a second line that says another one
    std::optional<ChannelKind> kind;  // raw or envelope
    std::string person;
    std::optional<CivilTime> start;
    std::string posture;
    std::vector<std::string>
        channels;  // as 'Channel 1: name ..., units: mV' or 'labels: a, b' name them, "name [unit]"
    std::vector<Note> notes;
};

// Errors: malformed (a rate that is not above zero).
CsvSayings hear(std::span<const SaidLine> lines, const std::string& source);

}  // namespace tracehold
