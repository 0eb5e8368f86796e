#pragma once
// What an audit takes in: results of 'score' as they stream by, and recordings that are scored on the way.
#include <string>
#include <vector>

#include "app/inputs.hpp"
#include "tracehold/audit/audit_tally.hpp"
#include "tracehold/core/made_with.hpp"
#include "tracehold/identity/identity.hpp"

namespace tracehold {

// Everything in the inputs, in memory bounded by what the tally keeps and a few results; says errors and progress on
// standard error. The sessions list speaks for results as it does for recordings: its person, start and site beat
// theirs; it adds the group and the date of review. Errors: Stopped.
// companions: those of the options, hiding nothing: identity hides the names of groups, and who it is must be known here.
struct AuditInputs {
    AuditTally tally;
    MadeWith files;        // as add_files_of put them
    bool all_used = true;  // nothing was refused: no recording, no result, no folder that holds neither
};
AuditInputs read_audit_inputs(const std::vector<std::string>& inputs, const Options& options, const Companions& companions, const Identity& identity);

// An audit names no person; what could still name somebody are its groups, in the service's own words, and the hash of its
// inputs. Errors: those of the key file; bad_setting where groups have names and all is to be anonymous.
Identity identity_of_audit(const Options& options);

}  // namespace tracehold
