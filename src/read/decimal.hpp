#pragma once
// Decimal numbers of data files, with point or comma, the same to the last bit as std::from_chars on the pointed text.
//
// Fast way: the digits as one whole number (at most 2^53, so exact in a double) divided by a power of ten (at most
// 10^18, exact too). One division of two exact doubles is correctly rounded (IEEE 754), which is what from_chars gives.
// Up to eight characters are taken in one word: the mark is shifted out of it, and tens, hundreds and ten thousands are
// summed side by side. Everything else (exponents, more digits, words) returns nullptr and goes through decimal_value.
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <optional>
#include <string_view>

namespace tracehold {

inline constexpr std::array<double, 19> kPowersOfTen = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8, 1e9,
                                                        1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18};

// digits / 10^decimals, with its sign. Both are exact in a double.
struct PlainDecimal {
    std::uint64_t digits = 0;
    unsigned decimals = 0;
    bool minus = false;

    double value() const {
        // Signed, since a conversion of unsigned ones takes a choice between two ways.
        const double size = static_cast<double>(static_cast<std::int64_t>(digits)) / kPowersOfTen[decimals];
        // The sign as a bit: signals swing, so a choice would be guessed wrongly every other time.
        return std::bit_cast<double>(std::bit_cast<std::uint64_t>(size) | (static_cast<std::uint64_t>(minus) << 63));
    }
};

// A number of up to eight characters without its sign, of which nine can be looked at. nullptr: it is longer, or none.
[[gnu::always_inline]] inline const char* read_short_decimal(const char* p, char mark, PlainDecimal& number) {
    constexpr std::uint64_t kHigh = 0x8080808080808080, kByte = 0xFF;
    std::uint64_t word = 0;
    std::memcpy(&word, p, sizeof word);
    const std::uint64_t values = word ^ 0x3030303030303030;  // digits become their values, all else is above nine
    const std::uint64_t others = (((values & ~kHigh) + 0x7676767676767676) | values) & kHigh;
    if (others == 0) return nullptr;
    // Where the whole part ends, and the number; in bits.
    const unsigned whole = static_cast<unsigned>(std::countr_zero(others)) & ~7u;
    unsigned size = whole;
    std::uint64_t digits = values;
    number.decimals = 0;
    if (static_cast<char>((word >> whole) & kByte) == mark) {
        size = static_cast<unsigned>(std::countr_zero(others & (others - 1))) & ~7u;  // 64 where nothing follows
        if (size == 64 && static_cast<unsigned>(static_cast<unsigned char>(p[8]) - '0') < 10) return nullptr;
        const std::uint64_t ahead = (std::uint64_t{1} << whole) - 1;
        digits = ((values & ahead) << 8) | (values & ~((ahead << 8) | kByte));
        number.decimals = (size - whole) / 8 - 1;
        if (size == 8) return nullptr;
    }
    if (size == 0) return nullptr;
    digits <<= 64 - size;  // the last digit to the end, zeros ahead of the first
    digits = digits * 10 + (digits >> 8);
    constexpr std::uint64_t kPairs = 0x000000FF000000FF;
    number.digits = ((digits & kPairs) * (100 + (std::uint64_t{1'000'000} << 32)) +
                     ((digits >> 16) & kPairs) * (1 + (std::uint64_t{10'000} << 32))) >> 32;
    return p + size / 8;
}

// One of any length, without its sign.
const char* read_long_decimal(const char* p, const char* end, char mark, PlainDecimal& number);

// Reads digits with at most one mark from p on, and a sign before them. Out: behind the last character used, or nullptr.
[[gnu::always_inline]] inline const char* read_plain_decimal(const char* p, const char* end, char mark, PlainDecimal& number) {
    number.minus = p != end && *p == '-';
    p += static_cast<std::ptrdiff_t>(number.minus);
    if constexpr (std::endian::native == std::endian::little) {
        if (end - p > 8) {
            if (const char* behind = read_short_decimal(p, mark, number)) return behind;
        }
    }
    PlainDecimal other;  // one of its own: what is handed out of here could not stay in registers
    p = read_long_decimal(p, end, mark, other);
    number.digits = other.digits, number.decimals = other.decimals;
    return p;
}

// A decimal number that fills the whole text; empty for words, hex, infinity, NaN and what is beyond a double. What is
// nearer to zero than a double can tell is zero.
std::optional<double> decimal_value(std::string_view text, char mark);

enum class CellLook { empty, whole, point, comma, missing, stamp, word };

// What a cell looks like before it is known which mark the file uses. missing: a word or sign for 'no value' (NaN, inf,
// N/A, null, none, '-', 1.#QNAN).
CellLook look_at(std::string_view text);

// How many digits stand behind the mark; 0 where there is an exponent.
int decimals_of(std::string_view text);

}  // namespace tracehold
