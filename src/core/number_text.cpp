#include "tracehold/core/number_text.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>

#include "tracehold/core/utf8.hpp"

namespace tracehold {
namespace {

std::string_view trimmed(std::string_view text) {
    const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; };
    while (!text.empty() && blank(text.front())) text.remove_prefix(1);
    while (!text.empty() && blank(text.back())) text.remove_suffix(1);
    return text;
}

// from_chars knows no leading plus.
std::string_view without_plus(std::string_view text) {
    const bool plus = text.size() > 1 && text[0] == '+' && text[1] != '-' && text[1] != '+';
    return plus ? text.substr(1) : text;
}

template <class Number>
std::optional<Number> whole_text_as(std::string_view text) {
    text = without_plus(trimmed(text));
    Number value{};
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
    return value;
}

bool is_invisible_control(std::string_view sequence) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(sequence[i]); };
    if (sequence.size() == 1) return byte(0) < 0x20 || byte(0) == 0x7F;
    if (sequence.size() == 2) return byte(0) == 0xC2 && byte(1) < 0xA0;  // C1
    if (sequence.size() == 3 && byte(0) == 0xE2) {
        const bool marks = byte(1) == 0x80 && ((byte(2) >= 0x8B && byte(2) <= 0x8F) || (byte(2) >= 0xA8 && byte(2) <= 0xAE));
        const bool isolates = byte(1) == 0x81 && byte(2) >= 0xA6 && byte(2) <= 0xA9;
        return marks || isolates;
    }
    return false;
}

// Marks that stand on the character before them; without a limit a few hundred of them climb over the lines above.
bool is_stacked_mark(std::string_view sequence) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(sequence[i]); };
    if (sequence.size() == 2) return byte(0) == 0xCC || (byte(0) == 0xCD && byte(1) <= 0xAF);  // U+0300 to U+036F
    if (sequence.size() != 3) return false;
    if (byte(0) == 0xE1) return (byte(1) == 0xAA && byte(2) >= 0xB0) || byte(1) == 0xAB || byte(1) == 0xB7;  // U+1AB0, U+1DC0 on
    if (byte(0) == 0xE2) return byte(1) == 0x83 && byte(2) >= 0x90;                                        // U+20D0 on
    return byte(0) == 0xEF && byte(1) == 0xB8 && byte(2) >= 0xA0 && byte(2) <= 0xAF;                       // U+FE20 on
}

constexpr std::size_t kMostMarks = 3;  // on one character; our choice: no script needs more of these

}  // namespace

std::optional<double> parse_number(std::string_view text) {
    const auto value = whole_text_as<double>(text);
    return value && std::isfinite(*value) ? value : std::nullopt;
}

std::optional<long long> parse_whole(std::string_view text) { return whole_text_as<long long>(text); }

std::string number_text(double value) { return fmt::format("{}", value); }

std::string fixed_text(double value, int decimals) {
    const double scale = std::pow(10.0, decimals);
    const double scaled = std::abs(value) * scale;
    // Half away from zero as people round, on the decimal text and not on its binary neighbour.
    const double rounded = scaled < 1e15 ? std::floor(scaled + 0.5 + 1e-9) / scale : std::abs(value);
    const std::string text = fmt::format("{:.{}f}", rounded, decimals);
    return value < 0 && rounded != 0.0 ? "-" + text : text;
}

std::string shown(std::string_view text, std::size_t max_chars) {
    std::string out;
    std::size_t marks = 0;
    for (std::size_t chars = 0; !text.empty(); ++chars) {
        const std::size_t length = utf8_length(text);
        marks = is_stacked_mark(text.substr(0, length)) ? marks + 1 : 0;
        if (marks > kMostMarks) {
            text.remove_prefix(length);
            --chars;
            continue;
        }
        if (chars == max_chars) return out + "...";
        if (length == 0) {
            out += fmt::format("\\x{:02X}", static_cast<unsigned char>(text[0]));
        } else if (is_invisible_control(text.substr(0, length))) {
            for (std::size_t i = 0; i < length; ++i) out += fmt::format("\\x{:02X}", static_cast<unsigned char>(text[i]));
        } else {
            out += text.substr(0, length);
        }
        text.remove_prefix(length == 0 ? 1 : length);
    }
    return out;
}

}  // namespace tracehold
