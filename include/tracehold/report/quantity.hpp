#pragma once
// The one place where numbers are rounded for people.
#include <optional>
#include <string>
#include <string_view>

#include "tracehold/core/estimate.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

// How many decimals a number deserves.
// With a standard error: as many as show two of its digits if it begins with 1, else one (0.014 -> 3, 0.4 -> 1, 31 ->
// 0). Without one, by unit: s and %/s 2, µV and Hz 1, else 0; one more below 1, one less from 100 on. Never more than
// 3, and 2 for seconds: a time means nothing finer than 10 ms. Source: rule of the significant digits of an
// uncertainty, common practice, no source; the limits are our choice.
int decimals_for(std::optional<double> error, std::string_view unit, double value);

// "18.2", "18.2 ± 0.4"; "–" for null.
std::string quantity_text(const Estimate& value, std::string_view unit, bool with_error = false);

// Every number in the text that is below zero gets a minus sign (U+2212) for its hyphen: "from -3 to 4" -> "from −3 to 4". Names
// and days keep theirs: the hyphen of a number stands at the beginning, after a blank or an opening bracket.
std::string with_minus(std::string_view text);

// "52 s", "4 min 12 s", "1 h 3 min". In: >= 0.
std::string duration_text(Seconds length);

// "12.0–14.5 s", from the start of the recording.
std::string span_text(TimeSpan span);

}  // namespace tracehold
