#pragma once
#include <string>
#include <string_view>

namespace tracehold {

// SHA-256 of the bytes (FIPS 180-4, by nettle), as 64 lower-case hex digits.
std::string sha256_hex(std::string_view bytes);

}  // namespace tracehold
