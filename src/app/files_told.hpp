#pragma once
// Which files an output for many sessions says that it rests on.
#include "tracehold/core/made_with.hpp"
#include "tracehold/identity/identity.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold {

// Adds the plan and the corrections of a score. Hashes of a score that is hidden already stay; others are hidden as asked.
void add_files_of(const SessionScore& score, const Identity& identity, MadeWith& files);

enum class ToldTo { team, others };

// As they may be told: the hashes of the list and the rules come in as they are, those of scores as add_files_of put them. None at
// all of an anonymous output or to others. files.identity: as far as anything that went in was hidden.
MadeWith files_told(MadeWith files, const Identity& identity, ToldTo readers = ToldTo::team);

}  // namespace tracehold
