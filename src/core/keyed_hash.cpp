#include "tracehold/core/keyed_hash.hpp"

#include <nettle/hmac.h>

#include <array>
#include <cassert>

#include "tracehold/core/identity_level.hpp"

namespace tracehold {
namespace {

const std::uint8_t* octets(std::string_view text) { return reinterpret_cast<const std::uint8_t*>(text.data()); }

int digit_value(char c) {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    return c >= 'A' && c <= 'F' ? c - 'A' + 10 : -1;
}

}  // namespace

std::string_view to_string(IdentityLevel level) {
    switch (level) {
        case IdentityLevel::keep: return "keep";
        case IdentityLevel::pseudonym: return "pseudonym";
        case IdentityLevel::anonymous: return "anonymous";
    }
    return "";
}

std::string keyed_hash_hex(std::string_view key, std::string_view text) {
    hmac_sha256_ctx context;
    hmac_sha256_set_key(&context, key.size(), octets(key));
    hmac_sha256_update(&context, text.size(), octets(text));
    std::array<std::uint8_t, SHA256_DIGEST_SIZE> digest{};
    hmac_sha256_digest(&context, digest.size(), digest.data());
    std::string hex;
    for (const std::uint8_t byte : digest) {
        hex += "0123456789abcdef"[byte >> 4];
        hex += "0123456789abcdef"[byte & 15];
    }
    return hex;
}

std::string bytes_of_hex(std::string_view hex) {
    std::string bytes;
    if (hex.size() % 2 != 0) return {};
    for (std::size_t i = 0; i < hex.size(); i += 2) {
        const int high = digit_value(hex[i]), low = digit_value(hex[i + 1]);
        if (high < 0 || low < 0) return {};
        bytes += static_cast<char>(16 * high + low);
    }
    return bytes;
}

std::string base32_of_hex(std::string_view hex, std::size_t characters) {
    assert(4 * hex.size() >= 5 * characters);
    std::string text;
    unsigned held = 0, bits = 0;
    for (const char c : hex) {
        held = held << 4 | static_cast<unsigned>(digit_value(c));
        bits += 4;
        if (bits < 5) continue;
        bits -= 5;
        text += "0123456789abcdefghjkmnpqrstvwxyz"[held >> bits & 31u];
        held &= (1u << bits) - 1;
        if (text.size() == characters) break;
    }
    return text;
}

}  // namespace tracehold
