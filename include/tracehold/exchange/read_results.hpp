#pragma once
// Results for one who goes on where some are damaged.
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/error.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold {

// As read_session_results: the results that can be read, and why others cannot, each in order. What stands after something
// that is no result is not read.
struct ResultsRead {
    std::vector<SessionScore> scores;
    std::vector<Error> refused;
};
ResultsRead read_what_results(std::string_view text, const std::string& source);

// Error: malformed, where the text is a JSON list.
void refuse_list_of_results(std::string_view bytes, const std::string& source);

// Another file that this program writes or reads as JSON, by its schema or what stands for one: "plan", "truth", "FHIR", ...;
// "" for any other. In: the first bytes of a file.
std::string_view other_kind_of_json(std::string_view bytes);

}  // namespace tracehold
