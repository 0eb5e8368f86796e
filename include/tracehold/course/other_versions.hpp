#pragma once
#include <set>
#include <string>

#include "tracehold/core/note.hpp"

namespace tracehold {

// The note other_program_version. which: "2 of 5 sessions were", "some recordings were"; versions: those that are not this
// program's, at least one. The measures mean the same: results by other definitions are refused where they are read.
Note other_versions_note(const std::string& which, const std::set<std::string>& versions);

}  // namespace tracehold
