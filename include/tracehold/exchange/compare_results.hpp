#pragma once
// Two results of one recording, field by field.
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace tracehold {

// field: JSON pointer (RFC 6901). first, second: the values as JSON, or what stands there ("an object", "nothing").
struct FieldDifference {
    std::string field;
    std::string first;
    std::string second;
};

struct Comparison {
    std::size_t fields = 0;  // compared: numbers, texts, flags, nulls, and fields that only one has
    std::vector<FieldDifference> differences;  // in the order of the first, then what only the second has
};

// In: two JSON objects; tolerance: largest |a - b| / max(|a|, |b|) at which two fractional numbers count as the same (0:
// none but equal ones; whole numbers are always exact). Errors: malformed.
Comparison compare_results(std::string_view first, std::string_view second, double tolerance);

// One of several results in a text. line: where it begins, from 1.
struct ResultPart {
    std::string_view text;
    std::size_t line = 1;
};

// Cuts what read_session_results reads into its results, unread. Errors: malformed (something else between them, none).
std::vector<ResultPart> result_texts(std::string_view text, const std::string& source);

}  // namespace tracehold
