#pragma once
#include "tracehold/audit/audit.hpp"
#include "tracehold/identity/identity.hpp"

namespace tracehold {

// An audit without what leads back to recordings or days. anonymous: there is no hash of the inputs, months are counted from the
// first ("month 1"), and no day is told. keep, pseudonym: only the level is set.
// Groups and the hashes of recordings come hidden already: whoever hands in results names them, and some are pseudonyms before.
// Notes: months_counted.
Audit hide(Audit audit, const Identity& identity);

}  // namespace tracehold
