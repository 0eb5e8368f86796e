#pragma once
// The verb of this room: a value in, the same value without what identifies. With IdentityLevel::keep all come back as
// they were. What is hidden once stays hidden: no later room knows the true words.
//
// Replaced: person, recording and plan names, hashes of files, corrections' authors, times and reasons, start (see shown_start),
// posture, site, labels, units, cue words and marks that are no words of the trade, and what messages quote. Kept:
// every number of the signal.
#include <string>
#include <string_view>

#include "tracehold/core/error.hpp"
#include "tracehold/core/note.hpp"
#include "tracehold/identity/identity.hpp"
#include "tracehold/measures/session_score.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

Recording hide(Recording recording, const Identity& identity);
SessionScore hide(SessionScore score, const Identity& identity);
Note hide(Note note, const Identity& identity);

// A message without what it quotes: everything between the first and the last quote, and behind "saw", becomes '…';
// for anonymous also dates and times of day.
std::string hide_quoted(std::string_view message, IdentityLevel level);

// A place without words from a file: numbers and the words that readers use for places stay.
std::string hide_place(std::string_view place);

// The error under another source. Its hint stays: hints are words of this program.
Error hide(const Error& error, std::string_view source, IdentityLevel level);

}  // namespace tracehold
