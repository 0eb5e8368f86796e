#pragma once
// Text and numbers, the same in every locale.
#include <optional>
#include <string>
#include <string_view>

namespace tracehold {

// A finite decimal number that fills the whole text (blanks around it allowed, a leading + too; no hex, no inf, no nan).
// Empty for anything else, also for what does not fit a double.
std::optional<double> parse_number(std::string_view text);

// A whole decimal number, same rules; "010" is ten.
std::optional<long long> parse_whole(std::string_view text);

// The shortest text that reads back as the same double. In: finite.
std::string number_text(double value);

// A fixed number of decimals, half away from zero, no "-0.0". In: finite, 0 <= decimals <= 9.
std::string fixed_text(double value, int decimals);

// The text made safe to show in a message: control characters, ESC, C1 and bidi overrides dropped or escaped, bytes that are
// no UTF-8 shown as \xNN, at most max_chars characters and then "...".
std::string shown(std::string_view text, std::size_t max_chars = 60);

}  // namespace tracehold
