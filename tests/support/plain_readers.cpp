#include "support/plain_readers.hpp"

#include <algorithm>
#include <array>
#include <random>
#include <utility>

namespace tracehold::test {
namespace {

using Entity = std::pair<std::string_view, char>;
constexpr std::array<Entity, 5> kEntities = {
    {{"&amp;", '&'}, {"&lt;", '<'}, {"&gt;", '>'}, {"&quot;", '"'}, {"&#39;", '\''}}};

bool is_punctuation(char c) {
    return (c >= '!' && c <= '/') || (c >= ':' && c <= '@') || (c >= '[' && c <= '`') || (c >= '{' && c <= '~');
}

bool starts_block(std::string_view line) {
    for (const std::string_view start : {"- ", "+ ", "--", "==", ":-"}) {
        if (line.starts_with(start)) return true;
    }
    if (line == "-" || line == "+" || line == "=") return true;
    const std::size_t digits = line.find_first_not_of("0123456789");
    if (digits == 0 || digits == std::string_view::npos) return false;
    const bool mark = line[digits] == '.' || line[digits] == ')';
    return mark && (digits + 1 == line.size() || line[digits + 1] == ' ');
}

// One code point, taken apart without any table; 0xFFFFFFFF for what is no UTF-8. Moves at.
unsigned long next_code_point(std::string_view text, std::size_t& at) {
    const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u; };
    const unsigned first = byte(at++);
    if (first < 0x80) return first;
    const int more = first >= 0xF0 ? 3 : first >= 0xE0 ? 2 : 1;
    if (first < 0xC2 || first > 0xF4) return 0xFFFFFFFFul;
    unsigned long value = first & (0x3Fu >> more);
    for (int i = 0; i < more; ++i, ++at) {
        if ((byte(at) & 0xC0) != 0x80) return 0xFFFFFFFFul;
        value = value << 6 | (byte(at) & 0x3F);
    }
    constexpr std::array<unsigned long, 4> kLeast = {0, 0x80, 0x800, 0x10000};
    const bool bad = value < kLeast[static_cast<std::size_t>(more)] || value > 0x10FFFF || (value >= 0xD800 && value < 0xE000);
    return bad ? 0xFFFFFFFFul : value;
}

bool is_obeyed(unsigned long c) {
    return c < 0x20 || (c >= 0x7F && c < 0xA0) || (c >= 0x200B && c <= 0x200F) || (c >= 0x2028 && c <= 0x202E) ||
           (c >= 0x2066 && c <= 0x2069) || c == 0xFFFFFFFFul;
}

}  // namespace

std::optional<std::string> html_as_text(std::string_view markup) {
    constexpr std::string_view kIsolate = "&#x2068;", kEndIsolate = "&#x2069;";  // set a direction, show nothing
    std::string text;
    bool isolated = false;
    while (!markup.empty()) {
        if (const auto mark = isolated ? kEndIsolate : kIsolate; markup.starts_with(mark)) {
            isolated = !isolated;
            markup.remove_prefix(mark.size());
            continue;
        }
        std::size_t used = 1;
        char c = markup[0];
        if (c == '<' || c == '>' || c == '"' || c == '\'') return std::nullopt;
        if (c == '&') {
            used = 0;
            for (const auto& [entity, meant] : kEntities) {
                if (markup.starts_with(entity)) used = entity.size(), c = meant;
            }
            if (used == 0) return std::nullopt;
        }
        text += c;
        markup.remove_prefix(used);
    }
    if (isolated) return std::nullopt;
    return text;
}

std::optional<std::string> markdown_as_text(std::string_view line) {
    constexpr std::string_view kMeaning = "`*_{}[]<>|~#&!$^";
    std::string text;
    if (starts_block(line)) return std::nullopt;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (line[i] == '\n' || line[i] == '\r' || kMeaning.find(line[i]) != std::string_view::npos) return std::nullopt;
        if (line.substr(i, 3) == "://" || line.substr(i, 4) == "www." || line.substr(i, 4) == "WWW.") return std::nullopt;
        if (line[i] == '\\') {
            if (i + 1 == line.size() || !is_punctuation(line[i + 1])) return std::nullopt;
            ++i;
        }
        text += line[i];
    }
    return text;
}

std::optional<std::vector<std::string>> csv_as_cells(std::string_view row) {
    std::vector<std::string> cells(1);
    for (std::size_t i = 0; i < row.size(); ++i) {
        if (row[i] == '"' && cells.back().empty() && (i == 0 || row[i - 1] == ',')) {
            for (++i;; ++i) {
                if (i >= row.size()) return std::nullopt;
                if (row[i] == '"' && (i + 1 == row.size() || row[i + 1] == ',')) break;
                if (row[i] == '"' && row[++i] != '"') return std::nullopt;
                cells.back() += row[i];
            }
        } else if (row[i] == ',') {
            cells.emplace_back();
        } else if (row[i] == '"' || row[i] == '\n' || row[i] == '\r') {
            return std::nullopt;
        } else {
            cells.back() += row[i];
        }
    }
    return cells;
}

bool is_formula(std::string_view cell) {
    cell.remove_prefix(std::min(cell.find_first_not_of(' '), cell.size()));
    for (const std::string_view start : {"=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"}) {
        if (cell.starts_with(start)) return true;
    }
    return false;
}

bool has_control(std::string_view text) {
    for (std::size_t at = 0; at < text.size();) {
        if (is_obeyed(next_code_point(text, at))) return true;
    }
    return false;
}

std::vector<std::string> made_hostile_texts(std::size_t count, unsigned seed) {
    static const std::vector<std::string> kPieces = {
        "<", ">", "&", "\"", "'", "&lt;", "<script>", "</script>", "</style>", "<!--", "-->", "]]>", "<svg onload=x>", "javascript:", "\\",
        "|", "*", "_", "`", "[a](b)", "![", "~~", "#", "- ", "+ ", "1. ", "--", "==", ":-", "://", "www.", "http://x.y", "=", "+", "-", "@",
        "=1+1", ",", ";", "\t", "\r", "\n", "\r\n", "\"\"", "\x1b[2J", "\x1b]0;t\x07", "\x7f", "\xC2\x9B", "\xE2\x80\xAE", "\xE2\x81\xA6",
        "\xE2\x80\x8B", "\xE2\x80\xA8", "\x14", "\x15", std::string(1, '\0'), "../", "/", "CON", "\xFF", "\xC3", "\xE2\x82", "\xF0\x9F\x98\x80",
        "\xED\xA0\x80", "\xC0\xAF", "e\xCC\x81", "µV", "word", "x", " ", "  ", "7", "0.5", "＝", "\\x41", "\\u202e", "{{", "}}", "%s", "${x}"};
    std::mt19937 random(seed);
    std::vector<std::string> texts;
    for (std::size_t i = 0; i < count; ++i) {
        std::string text;
        for (auto pieces = random() % 12; pieces > 0; --pieces) {
            if (random() % 8 == 0) text += static_cast<char>(random());
            else text += kPieces[random() % kPieces.size()];
        }
        texts.push_back(std::move(text));
    }
    return texts;
}

}  // namespace tracehold::test
