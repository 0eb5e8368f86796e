#pragma once
// JSON as this program writes it. In every .cpp of this room that writes JSON, nowhere else.
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/note.hpp"
#include "tracehold/core/units.hpp"

namespace tracehold {

using Json = nlohmann::ordered_json;

// null where there is no finite value: never NaN, never a stand-in.
inline Json json_number(std::optional<double> value) {
    return value && std::isfinite(*value) ? Json(*value) : Json(nullptr);
}

// null for "": what nobody said is not an empty name.
inline Json json_text(std::string_view text) { return text.empty() ? Json(nullptr) : Json(text); }

inline Json json_span(TimeSpan span) { return Json::array({json_number(span.begin_s), json_number(span.end_s)}); }

Json notes_json(const std::vector<Note>& notes);

// The text of a value, with a final line break. indent 0: one line. Numbers in full (they read back as the same
// double). Bytes that are no UTF-8 become U+FFFD; control and bidi characters are escaped (\u202e), so that no terminal
// obeys them.
std::string written(const Json& json, int indent);

}  // namespace tracehold
