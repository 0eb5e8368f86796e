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

// Of two rates, kinds, starts or postures that differ the first is taken and doubted.
// Errors: malformed (a rate that is not above zero, two persons).
CsvSayings hear(std::span<const SaidLine> lines, const std::string& source);

// Whether a line says the person, posture, kind, start or rate: what holds for the whole file wherever it stands.
bool says_a_fact(const SaidLine& line);

// Facts that stand between the rows, as where one recording was put behind another. Errors: those of hear.
void hear_again(CsvSayings& sayings, std::span<const SaidLine> lines, const std::string& source);

}  // namespace tracehold
