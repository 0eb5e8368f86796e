#include "exchange/json_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"

namespace tracehold {
namespace {

// Of a well-formed sequence of two or three bytes; enough for the characters that shown() hides.
unsigned code_point(std::string_view sequence) {
    const auto bits = [&](std::size_t i) { return static_cast<unsigned char>(sequence[i]) & 0x3Fu; };
    if (sequence.size() == 2) return (static_cast<unsigned char>(sequence[0]) & 0x1Fu) << 6 | bits(1);
    return (static_cast<unsigned char>(sequence[0]) & 0x0Fu) << 12 | bits(1) << 6 | bits(2);
}

// What shown() would hide stands in a string of the JSON (the writer has escaped the ASCII controls), so \uXXXX means
// the same.
std::string without_hidden(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const std::size_t length = std::max<std::size_t>(1, utf8_length(text));
        const std::string_view sequence = text.substr(0, length);
        const bool hidden = (length == 2 || length == 3) && shown(sequence) != sequence;
        if (hidden)
            out += fmt::format("\\u{:04x}", code_point(sequence));
        else if (sequence == "\x7f")
            out += "\\u007f";
        else
            out += sequence;
        text.remove_prefix(length);
    }
    return out;
}

}  // namespace

Json notes_json(const std::vector<Note>& notes) {
    Json json = Json::array();
    for (const Note& note : notes)
        json.push_back({{"code", note.code}, {"place", json_text(note.place)}, {"text", note.text}});
    return json;
}

std::string written(const Json& json, int indent) {
    const std::string text = json.dump(indent > 0 ? indent : -1, ' ', false, Json::error_handler_t::replace);
    return without_hidden(text) + "\n";
}

}  // namespace tracehold
