#include "read/text_encoding.hpp"

#include <array>
#include <cstdint>
#include <cstring>
#include <utility>

#include "tracehold/core/utf8.hpp"
#include "tracehold/read/table.hpp"

namespace tracehold {
namespace {

// What cp1252 has at 0x80 to 0x9F (Unicode consortium, CP1252.TXT); the five bytes it leaves open stay C1 controls.
constexpr std::array<char32_t, 32> kCp1252 = {0x20AC, 0x81,   0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021,
                                              0x02C6, 0x2030, 0x0160, 0x2039, 0x0152, 0x8D,   0x017D, 0x8F,
                                              0x90,   0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014,
                                              0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0x9D,   0x017E, 0x0178};

void append_utf8(std::string& out, char32_t c) {
    const auto tail = [&](int shift) { out += static_cast<char>(0x80 | ((c >> shift) & 0x3F)); };
    if (c < 0x80) {
        out += static_cast<char>(c);
    } else if (c < 0x800) {
        out += static_cast<char>(0xC0 | (c >> 6));
        tail(0);
    } else if (c < 0x10000) {
        out += static_cast<char>(0xE0 | (c >> 12));
        tail(6), tail(0);
    } else {
        out += static_cast<char>(0xF0 | (c >> 18));
        tail(12), tail(6), tail(0);
    }
}

std::string from_utf16(std::string_view bytes, bool big) {
    constexpr char32_t kReplacement = 0xFFFD;
    std::string out;
    out.reserve(bytes.size() / 2 + 2);
    const auto unit = [&](std::size_t i) -> char32_t {
        const auto a = static_cast<unsigned char>(bytes[i]), b = static_cast<unsigned char>(bytes[i + 1]);
        return static_cast<char32_t>(big ? a << 8 | b : b << 8 | a);
    };
    for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) {
        char32_t c = unit(i);
        if (i == 0 && c == 0xFEFF) continue;
        if (c >= 0xD800 && c < 0xE000) {
            const bool pair = c < 0xDC00 && i + 3 < bytes.size() && unit(i + 2) >= 0xDC00 && unit(i + 2) < 0xE000;
            c = pair ? 0x10000 + ((c - 0xD800) << 10) + (unit(i + 2) - 0xDC00) : kReplacement;
            if (pair) i += 2;
        }
        append_utf8(out, c);
    }
    return out;
}

// Where the first byte above 0x7F stands from here on; eight bytes a step, since nearly all text is ASCII.
std::size_t next_non_ascii(std::string_view text, std::size_t from) {
    constexpr std::uint64_t kHighBits = 0x8080808080808080u;
    for (std::uint64_t word = 0; from + sizeof word <= text.size(); from += sizeof word) {
        std::memcpy(&word, text.data() + from, sizeof word);
        if (word & kHighBits) break;
    }
    while (from < text.size() && static_cast<unsigned char>(text[from]) < 0x80) ++from;
    return from;
}

std::size_t first_not_utf8(std::string_view text) {
    std::size_t at = next_non_ascii(text, 0);
    while (at < text.size()) {
        const std::size_t length = utf8_length(text.substr(at));
        if (length == 0) return at;
        at = next_non_ascii(text, at + length);
    }
    return at;
}

std::string from_cp1252(std::string_view text) {
    std::string out;
    out.reserve(text.size() + text.size() / 16);
    for (std::size_t done = 0; done < text.size();) {
        const std::size_t good = first_not_utf8(text.substr(done));
        out += text.substr(done, good);
        done += good;
        if (done == text.size()) break;
        const auto byte = static_cast<unsigned char>(text[done++]);
        append_utf8(out, byte < 0xA0 ? kCp1252[byte - 0x80] : byte);
    }
    return out;
}

// Out: whether there were any; then the text without them in storage.
bool without_marks_at_lines(std::string_view text, std::string& storage) {
    const std::string at_line = "\n" + std::string(kByteOrderMark);
    std::size_t mark = text.find(at_line);
    if (mark == std::string_view::npos) return false;
    std::string out;
    std::size_t done = 0;
    for (; mark != std::string_view::npos; mark = text.find(at_line, done)) {
        out += text.substr(done, mark + 1 - done);
        done = mark + at_line.size();
    }
    storage = out.append(text.substr(done));
    return true;
}

}  // namespace

Encoding encoding_of(std::string_view bytes) {
    if (bytes.starts_with("\xFF\xFE")) return Encoding::utf16_little;
    if (bytes.starts_with("\xFE\xFF")) return Encoding::utf16_big;
    constexpr std::size_t kLook = 64;
    if (bytes.size() < 8) return Encoding::eight_bit;
    std::array<std::size_t, 2> zeros{};
    const std::size_t size = std::min(bytes.size() & ~std::size_t{1}, kLook);
    for (std::size_t i = 0; i < size; ++i) zeros[i % 2] += bytes[i] == '\0';
    if (zeros[0] == 0 && zeros[1] == size / 2) return Encoding::utf16_little;
    if (zeros[1] == 0 && zeros[0] == size / 2) return Encoding::utf16_big;
    return Encoding::eight_bit;
}

std::string_view utf8_view(std::string_view bytes, std::string& storage, std::vector<Note>& notes) {
    const Encoding encoding = encoding_of(bytes);
    if (encoding != Encoding::eight_bit) {
        storage = from_utf16(bytes, encoding == Encoding::utf16_big);
        const bool cut = bytes.size() % 2 != 0;
        notes.push_back({"text_utf16", "", std::string("the text is UTF-16; it was converted to UTF-8") +
                                               (cut ? ", its last byte is half a letter and was left out" : "")});
        return storage;
    }
    while (bytes.starts_with(kByteOrderMark)) bytes.remove_prefix(kByteOrderMark.size());
    if (next_non_ascii(bytes, 0) == bytes.size()) return bytes;
    if (without_marks_at_lines(bytes, storage)) {
        notes.push_back({"byte_order_marks", "", "byte-order marks stand ahead of lines within the text, as where files were joined; they were passed over"});
        bytes = storage;
    }
    if (first_not_utf8(bytes) == bytes.size()) return bytes;
    storage = from_cp1252(bytes);
    notes.push_back({"text_cp1252", "", "the text is not UTF-8; letters beyond ASCII were read as Latin-1 (cp1252)"});
    return storage;
}

std::string to_utf8(std::string_view bytes, std::vector<Note>& notes) {
    std::string storage;
    const std::string_view text = utf8_view(bytes, storage, notes);
    return text.data() == storage.data() ? std::move(storage) : std::string(text);
}

}  // namespace tracehold
