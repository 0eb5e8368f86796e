#include "exchange/csv_cell.hpp"

#include <algorithm>
#include <array>

#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kLongestCell = 32000;  // a spreadsheet's cell holds 32,767 characters
constexpr std::array<std::string_view, 8> kFormulaStarts = {"=", "+", "-", "@", "＝", "＋", "－", "＠"};

bool would_run(std::string_view text) {
    text.remove_prefix(std::min(text.find_first_not_of(std::string_view(" \t\r\n\v\f\0", 7)), text.size()));
    return std::any_of(kFormulaStarts.begin(), kFormulaStarts.end(),
                       [&](std::string_view start) { return text.starts_with(start); });
}

}  // namespace

std::string csv_text_cell(std::string_view text) {
    const std::string safe = (would_run(text) ? "'" : "") + shown(text, kLongestCell);
    if (safe.find_first_of(",\"\n\r") == std::string::npos && !safe.starts_with(' ') && !safe.ends_with(' '))
        return safe;
    std::string quoted = "\"";
    for (const char c : safe) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
    return quoted + "\"";
}

std::string number_cell(std::optional<double> value) { return value ? number_text(*value) : ""; }

}  // namespace tracehold
