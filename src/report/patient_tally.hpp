#pragma once
// What a page for the person who trained may count in a session.
#include <cstddef>
#include <vector>

#include "tracehold/measures/session_score.hpp"

namespace tracehold {

struct Share {
    std::size_t count = 0;
    std::size_t of = 0;  // those that could be read
    bool all() const { return of > 0 && count == of; }
};

// Holds of one length, done until the cue to relax. done: all of them, readable or not. faded: of the kept ones, those that
// lost more than half of their activity on the way.
struct HeldOfLength {
    double seconds = 0.0;
    std::size_t done = 0;
    Share kept;
    std::size_t faded = 0;
};

// An endurance contraction: how long it stayed above half of its start, and whether that was all of its time.
struct Endured {
    double planned_s = 0.0, lasted_s = 0.0;
    bool whole = false;
    bool is_short() const { return !whole && lasted_s < 0.5 * planned_s; }  // our choice
};

struct KindDone {
    StepKind kind = StepKind::hold;
    Share done;
};

// held and released only where cue times are known. released: contractions let go within their rest. rested: those after
// which the muscle came to rest, by all that is known of each (patient_tally.cpp); one let go before the cue counts among
// these, but not among the released, as it tells nothing of how soon. reached: contractions that reached the
// plan's threshold, where that is a fixed one. busy: of the missed, those with activity like a contraction before the cue.
struct PatientTally {
    Share done;                   // of those planned or cued that have readable signal
    std::vector<KindDone> kinds;  // the same of each kind of contraction
    std::size_t unread = 0;       // too little valid signal
    std::size_t cut = 0;          // planned, but not in the recording
    std::size_t busy = 0;
    std::vector<HeldOfLength> held;
    std::vector<Endured> endured;
    Share released, rested, reached;
};

PatientTally tally(const SessionScore& score);

// Whether "the muscle came to rest" would stand beside nothing that contradicts it: targets for rest and release that there
// are were met, and nothing was subtracted from the rest.
bool rest_may_be_told(const SessionScore& score);

// Whether the page may speak of what went well: no finding that casts doubt, cue times known, a plan or cues to compare
// with, and at least half done, also of each kind (our choice: less is little).
bool may_be_glad(const SessionScore& score);

// Whether it is known when the person was asked for what: by marks or a start that the contractions follow.
bool cues_are_known(const SessionScore& score);

// A finding that casts doubt on the page. That cue times were estimated has a sentence of its own.
bool in_doubt(const SessionScore& score);

}  // namespace tracehold
