#pragma once
// What a command line asks for, spelt out. Which options a command knows is decided in command_line.cpp.
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "tracehold/clean/clean.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

enum class Format { text, json, ndjson, csv, md, html };

struct Options {
    std::vector<std::string> inputs;  // files, folders, "-"
    std::string plan;                 // paths; "" = not given
    std::string sessions;
    std::string corrections;
    std::string channel;    // label or number from 1
    std::string accessory;  // label or number from 1
    std::optional<double> rate_hz;
    std::string unit;
    std::optional<ChannelKind> kind;
    std::optional<double> start_s;
    std::optional<MainsRemoval> mains;
    EnvelopeMethod envelope = EnvelopeMethod::moving_rms;
    bool subtract_noise = false;
    bool subtract_baseline = false;
    std::vector<Format> formats;  // never empty once read
    std::string out = "-";
    unsigned jobs = 0;  // 0 = all cores
    bool quiet = false;
    bool no_color = false;
    std::string person;      // course: the one to chart
    bool by_person = false;  // course: one course each
    std::string rules;       // course: a service's own table of questions
    std::string performed_plan;      // plan threshold: what was performed in the reference recording
    std::optional<double> percent;   // plan threshold: of the reference
    std::string name;                   // of a measure or schema
    std::optional<std::uint64_t> seed;  // simulate
};

}  // namespace tracehold
