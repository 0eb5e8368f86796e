#pragma once
#include "tracehold/audit/audit.hpp"
#include "tracehold/identity/identity.hpp"

namespace tracehold {

// An audit without what leads back to recordings or days. pseudonym: the hash of the inputs is keyed. anonymous: there is
// none, months are counted from the first ("month 1"), and no day is told. keep: it comes back as it was.
// Groups come hidden already: whoever hands in results names them.
// Notes: months_counted.
Audit hide(Audit audit, const Identity& identity);

}  // namespace tracehold
