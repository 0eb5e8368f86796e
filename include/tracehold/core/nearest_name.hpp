#pragma once
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace tracehold {

// The candidate that a mistyped word most likely meant: least Damerau-Levenshtein distance (upper and lower case alike), at
// most 2 and less than half of the word; first one of which it is the beginning, then the first of equals. Empty if none is near.
// Source: Damerau 1964, restricted edit distance; the limits are our choice: they catch one slip, seldom mislead.
std::optional<std::string> nearest_name(std::string_view word, std::span<const std::string_view> candidates);

// "; did you mean 'x'?" or "".
std::string did_you_mean(std::string_view word, std::span<const std::string_view> candidates);

}  // namespace tracehold
