#pragma once
#include <string_view>

namespace tracehold {

// How much of who a recording is from reaches an output.
enum class IdentityLevel {
    keep,       // the person's code, file names, dates: as the files and lists say them
    pseudonym,  // keyed stand-ins, dates kept; whoever holds the key can tell the same person again
    anonymous,  // numbers, days counted from the first recording, no hash that leads back to a file
};
std::string_view to_string(IdentityLevel level);  // "keep", "pseudonym", "anonymous"

}  // namespace tracehold
