#pragma once
// Decimal numbers of data files, with point or comma, the same to the last bit as std::from_chars on the pointed text.
//
// Fast way: the digits as one whole number (at most 2^53, so exact in a double) divided by a power of ten (at most
// 10^18, exact too). One division of two exact doubles is correctly rounded (IEEE 754), which is what from_chars gives.
// Everything else (exponents, more digits, words) returns nullptr and goes through decimal_value.
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace tracehold {

inline constexpr std::array<double, 19> kPowersOfTen = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8, 1e9,
                                                        1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18};

// Reads digits with at most one mark from p on. Out: behind the last character used, or nullptr.
inline const char* read_plain_decimal(const char* p, const char* end, char mark, double& value) {
    const auto digit = [&](const char* at) { return static_cast<unsigned>(static_cast<unsigned char>(*at) - '0'); };
    const bool minus = p != end && *p == '-';
    if (minus) ++p;
    std::uint64_t digits = 0;
    const char* const whole = p;
    for (; p != end && digit(p) < 10; ++p) digits = 10 * digits + digit(p);
    std::size_t count = static_cast<std::size_t>(p - whole), decimals = 0;
    if (p != end && *p == mark) {
        const char* const fraction = ++p;
        for (; p != end && digit(p) < 10; ++p) digits = 10 * digits + digit(p);
        decimals = static_cast<std::size_t>(p - fraction);
        count += decimals;
    }
    // 18 digits cannot overflow the 64 bits.
    if (count == 0 || count > 18 || digits > (std::uint64_t{1} << 53)) return nullptr;
    const double size = static_cast<double>(digits) / kPowersOfTen[decimals];
    value = minus ? -size : size;
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
