#pragma once
#include <string>

#include "core/json_fields.hpp"
#include "exchange/json_text.hpp"

namespace tracehold {

// Refuses what the schema says cannot be: numbers outside of their range, words that are none of the list, keys that are
// missing. Keys that the schema does not name are passed over (a later version may have added them), and so are the
// absent ones that older results of the same schema lack: measures, and a few keys that were added since.
// In: a schema of this room, with $defs, and a value read for its types already.
// Errors: malformed, at the JSON pointer, with what was seen and what was expected.
void refuse_impossible(const Json& schema, const Json& value, const std::string& source);

// The SHA-256 of a file, keyed or not; "" for null. Errors: bad_setting, where it is none.
std::string hash_or_nothing(Fields& fields, std::string_view key);

}  // namespace tracehold
