#pragma once
// What was done about a file without stopping at it: an assumption made, a repair, a loss.
#include <string>

namespace tracehold {

// code:  stable snake_case name, for programs ("record_count_unknown")
// place: as in Error::place, may be empty
// text:  one plain sentence for people: what was seen, what was assumed; lower case, no full stop
// doubt: numbers may be off, since the file contradicts itself or nobody said what matters. A doubt becomes a caution
//        among the findings on the signal; what is no doubt stays a note beside them.
struct Note {
    std::string code;
    std::string place;
    std::string text;
    bool doubt = false;
    bool operator==(const Note&) const = default;
};

}  // namespace tracehold
