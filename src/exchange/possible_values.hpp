#pragma once
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "core/json_fields.hpp"
#include "exchange/json_text.hpp"

namespace tracehold {

// A result of 10,000 contractions takes about 30 MB; more is a mistake or an attack.
inline constexpr JsonLimits kResultLimits = {std::size_t{64} << 20, 64, 4096};

// What a schema says that values can be, taken apart once for many values.
class PossibleValues {
public:
    explicit PossibleValues(Json schema);  // one of this room, with $defs; none refers to itself
    ~PossibleValues();

    // Refuses what cannot be: numbers outside of their range, words that are none of the list, keys that are missing. Keys that
    // the schema does not name are passed over (a later version may have added them), and so are the absent ones that older
    // results of the same schema lack: measures, and a few keys that were added since.
    // In: a value read for its types already.
    // Errors: malformed, at the JSON pointer, with what was seen and what was expected.
    void require(const Json& value, const std::string& source) const;

private:
    class Rule;
    const Rule& rule(const Json& schema);
    const Rule& definition(const std::string& name);

    Json schema_;
    std::vector<std::unique_ptr<Rule>> rules_;
    std::map<std::string, const Rule*> definitions_;
    const Rule* whole_;
};

// The SHA-256 of a file, keyed or not; "" for null. Errors: bad_setting, where it is none.
std::string hash_or_nothing(Fields& fields, std::string_view key);

}  // namespace tracehold
