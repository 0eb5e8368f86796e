#pragma once
#include <string>
#include <string_view>

namespace tracehold {

// HMAC-SHA-256 (FIPS 198-1, by nettle) of the text under a key, as 64 lower-case hex digits.
std::string keyed_hash_hex(std::string_view key, std::string_view text);

// The bytes written as hex digits of either case; empty if they are no hex or of odd number.
std::string bytes_of_hex(std::string_view hex);

// Base 32 of the first 5 * characters bits of the bytes written as hex digits: lower case, without i, l, o and u, which
// people misread. In: at least that many bits. Source: Crockford's base 32 (memory), digits in his order.
std::string base32_of_hex(std::string_view hex, std::size_t characters);

}  // namespace tracehold
