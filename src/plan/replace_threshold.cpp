// Finds the value of the outermost key "threshold" in the text and puts another in its place. A walk over the characters that knows
// strings, comments and nesting is enough, because the text has been read as a plan before.
#include "tracehold/plan/replace_threshold.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

// Behind the string, comment or single character that starts at i.
std::size_t behind_token(std::string_view text, std::size_t i) {
    const auto behind = [&](std::string_view end, std::size_t from) {
        const std::size_t found = text.find(end, from);
        return found == std::string_view::npos ? text.size() : found + end.size();
    };
    if (text.substr(i, 2) == "//") return behind("\n", i);
    if (text.substr(i, 2) == "/*") return behind("*/", i + 2);
    if (text[i] != '"') return i + 1;
    for (++i; i < text.size() && text[i] != '"'; ++i) {
        if (text[i] == '\\') ++i;
    }
    return std::min(i + 1, text.size());
}

bool is_comment(std::string_view text, std::size_t i) { return text.substr(i, 2) == "//" || text.substr(i, 2) == "/*"; }

struct Places {
    std::size_t value_begin = 0, value_end = 0;  // of the threshold; 0, 0 if there is none
    std::size_t closing = 0;                     // the outermost closing brace
    std::size_t last_token_end = 0;              // behind the last thing in the object that is no comment
};

Places find_places(std::string_view text) {
    Places places;
    int depth = 0;
    bool in_value = false;
    std::string_view key;
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t end = behind_token(text, i);
        const char c = text[i];
        const bool blank = c == ' ' || c == '\t' || c == '\n' || c == '\r' || is_comment(text, i);
        if (depth == 1 && in_value && (c == ',' || c == '}')) {
            places.value_end = places.last_token_end;
            in_value = false;
        }
        if (depth == 1 && c == '"') key = text.substr(i + 1, end - i - 2);
        if (c == '{' || c == '[') ++depth;
        if ((c == '}' || c == ']') && --depth == 0) {
            places.closing = i;
            return places;
        }
        if (in_value && places.value_begin == 0 && !blank) places.value_begin = i;
        if (depth == 1 && c == ':' && key == "threshold" && places.value_begin == 0) in_value = true;
        if (!blank) places.last_token_end = end;
        i = end;
    }
    return places;
}

std::string json_of(const Threshold& threshold) {
    if (threshold.microvolts) return fmt::format("{{\"microvolts\": {}}}", number_text(*threshold.microvolts));
    std::string text = fmt::format("{{\"percent_of_reference\": {}", number_text(threshold.percent_of_reference.value_or(50.0)));
    if (threshold.reference_uv) text += fmt::format(", \"reference_uv\": {}", number_text(*threshold.reference_uv));
    return text + "}";
}

}  // namespace

std::string replace_threshold(std::string_view text, const Threshold& threshold, const std::string& source) {
    const Places places = find_places(text);
    if (places.closing == 0) throw Error(ErrorKind::malformed, source, "", "no JSON object: saw no closing brace, expected a plan");
    const std::string value = json_of(threshold);
    std::string out(text);
    if (places.value_end > places.value_begin) {
        return out.replace(places.value_begin, places.value_end - places.value_begin, value);
    }
    return out.insert(places.last_token_end, fmt::format(",\n  \"threshold\": {}", value));
}

}  // namespace tracehold
