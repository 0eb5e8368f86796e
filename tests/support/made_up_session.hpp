#pragma once
// A scored session made by hand, with everything in it that a page must be able to say: invented figures, codes for
// names.
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold::test {

// 5 holds and 5 rapid contractions planned; one rapid missed, one extra; one onset corrected; targets, threshold,
// findings, notes.
SessionScore made_up_session();

// An envelope whose rises and falls match its cycles.
Envelope made_up_envelope(const SessionScore& score);

// The same with nothing in it: no plan, no cycles, nobody named, unusable.
SessionScore made_up_empty_session();

// Every text of the session replaced.
SessionScore with_all_texts(SessionScore score, const std::string& text);

}  // namespace tracehold::test
