#pragma once
#include <string>
#include <vector>

#include "app/inputs.hpp"
#include "tracehold/identity/identity.hpp"

namespace tracehold {

// What hides the people of this call, as --identity asks. A pseudonym needs the clinic's key; numbers and days of
// anonymous recordings rest on all of them, so every input is read once before the work, and the inputs are then
// brought into the order of these numbers: their own order may be the alphabet's. Inputs that cannot be read come last.
// Errors: those of the key file; wrong_use where standard input is to be anonymous: it cannot be read twice.
Identity identity_for(const Options& options, std::vector<std::string>& inputs, const Companions& companions);

}  // namespace tracehold
