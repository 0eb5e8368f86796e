#pragma once
#include <string>
#include <vector>

#include "tracehold/core/identity_level.hpp"

namespace tracehold {

// What a course or an audit rests on beside recordings and results, as the SHA-256 of each file; keyed under a pseudonym. plans and
// corrections are those of the scores, sorted, each once; "" = none was given.
struct MadeWith {
    IdentityLevel identity = IdentityLevel::keep;  // what was hidden
    std::vector<std::string> plans, corrections;
    std::string sessions, rules;  // the list, and the table of questions
    std::string left_out;         // why hashes are not told; "" where all are
};

}  // namespace tracehold
