#pragma once
// What casts doubt on a file without stopping it: an assumption made, a repair, a loss.
#include <string>

namespace tracehold {

// code:  stable snake_case name, for programs ("record_count_unknown")
// place: as in Error::place, may be empty
// text:  one plain sentence for people: what was seen, what was assumed; lower case, no full stop
struct Note {
    std::string code;
    std::string place;
    std::string text;
    bool operator==(const Note&) const = default;
};

}  // namespace tracehold
