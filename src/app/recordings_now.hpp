#pragma once
// Where the recordings of results are now: in the folder that --recordings names, else where they were.
#include <map>
#include <string>

#include "app/options.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold {

// What lies below the folder; empty where none was named.
struct Recordings {
    std::string folder;
    std::map<std::string, std::string> by_sha256;
    std::map<std::string, std::string> by_name;
    bool all_read = true;  // else what could not be read was named
};

Recordings recordings_below(const Options& options);

// By its bytes, else by its name, also one that a result could not hold; else as the result has it.
std::string path_now(const RecordingFacts& recording, const Recordings& recordings);

}  // namespace tracehold
