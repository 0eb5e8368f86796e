#pragma once
// What a page for the person who trained may count in a session.
#include <cstddef>

#include "tracehold/measures/session_score.hpp"

namespace tracehold {

struct Share {
    std::size_t count = 0;
    std::size_t of = 0;  // those that could be read
    bool all() const { return of > 0 && count == of; }
};

// kept: holds done until the cue to relax. rested: contractions after which the muscle came to rest within the rest;
// both only where cue times are known. reached: contractions that reached the plan's threshold, where that is a fixed
// one. long_ones: holds done, readable or not.
struct PatientTally {
    Share done;              // of those planned or cued that have readable signal
    std::size_t unread = 0;  // too little valid signal
    std::size_t cut = 0;     // planned, but not in the recording
    std::size_t long_ones = 0;
    Share kept, rested, reached;
};

PatientTally tally(const SessionScore& score);

// Whether the page may speak of what went well: no finding that casts doubt, cue times known, a plan or cues to compare
// with, and at least half done (our choice: less is little).
bool may_be_glad(const SessionScore& score);

// A finding that may make amplitudes read too high or too low, and with them goals and lines.
bool in_doubt(const SessionScore& score);

}  // namespace tracehold
