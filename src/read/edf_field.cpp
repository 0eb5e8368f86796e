#include "read/edf_field.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"

namespace tracehold {
namespace {

bool is_ascii(std::string_view text) {
    return std::all_of(text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x80; });
}

// Length of the control character at the front (C0, DEL, C1); 0 if it is none.
std::size_t control_length(std::string_view text) {
    const auto byte = static_cast<unsigned char>(text[0]);
    if (byte < 0x20 || byte == 0x7F) return 1;
    const bool c1 = byte == 0xC2 && text.size() > 1 && static_cast<unsigned char>(text[1]) < 0xA0;
    return c1 ? 2 : 0;
}

}  // namespace

std::string EdfField::place() const { return fmt::format("byte {}, {}", byte, name); }

std::string_view EdfField::text() const {
    constexpr std::string_view padding{" \0", 2};
    const auto first = raw.find_first_not_of(padding);
    if (first == std::string_view::npos) return {};
    return raw.substr(first, raw.find_last_not_of(padding) - first + 1);
}

std::optional<double> number_with_comma(std::string_view text) {
    std::string point{text};
    if (std::count(point.begin(), point.end(), ',') != 1 || point.find('.') != std::string::npos) return std::nullopt;
    std::replace(point.begin(), point.end(), ',', '.');
    return parse_number(point);
}

std::optional<double> edf_number(const EdfField& field, EdfNotes& notes) {
    if (const auto plain = parse_number(field.text())) return plain;
    const auto value = number_with_comma(field.text());
    if (value) {
        notes.add("decimal_comma", field.place(),
                  fmt::format("'{}' has a decimal comma: read as {}", shown(field.text()), number_text(*value)));
    }
    return value;
}

std::optional<long long> edf_whole(const EdfField& field, EdfNotes& notes) {
    const auto value = edf_number(field, notes);
    // 2^53: beyond it not every whole number is a double.
    if (!value || *value != std::floor(*value) || std::abs(*value) > 9007199254740992.0) return std::nullopt;
    return static_cast<long long>(*value);
}

std::string latin1_to_utf8(std::string_view bytes) {
    std::string out;
    for (const char c : bytes) {
        const auto byte = static_cast<unsigned char>(c);
        if (byte >= 0x80) out += static_cast<char>(0xC0 | (byte >> 6));
        out += byte < 0x80 ? c : static_cast<char>(0x80 | (byte & 0x3F));
    }
    return out;
}

std::string without_controls(std::string_view utf8, std::string_view allowed) {
    std::string out;
    while (!utf8.empty()) {
        const std::size_t control = allowed.find(utf8[0]) == std::string_view::npos ? control_length(utf8) : 0;
        if (control == 0)
            out += utf8[0];
        else
            out += "\xEF\xBF\xBD";
        utf8.remove_prefix(std::max<std::size_t>(control, 1));
    }
    return out;
}

std::string edf_label(const EdfField& field, EdfNotes& notes) {
    const std::string_view raw = field.text();
    if (!is_ascii(raw)) {
        notes.add(
            "header_not_ascii", field.place(),
            fmt::format("'{}' has letters beyond ASCII: read as {}", shown(raw), is_utf8(raw) ? "UTF-8" : "Latin-1"));
    }
    const std::string utf8 = is_utf8(raw) ? std::string{raw} : latin1_to_utf8(raw);
    std::string clean = without_controls(utf8);
    if (clean != utf8) {
        notes.add("control_characters", field.place(),
                  fmt::format("'{}' holds control characters: replaced by U+FFFD", shown(raw)));
    }
    return clean;
}

}  // namespace tracehold
