#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/note.hpp"

namespace tracehold {

// UTF-16 as its byte order mark says, or as every second byte of the beginning being zero gives away.
enum class Encoding { eight_bit, utf16_little, utf16_big };
Encoding encoding_of(std::string_view bytes);

// The bytes as UTF-8 without a byte order mark. The view is of the bytes themselves where nothing had to be converted
// (one pass, no copy), else of storage. Sequences that are no UTF-8 are taken as cp1252.
std::string_view utf8_view(std::string_view bytes, std::string& storage, std::vector<Note>& notes);

}  // namespace tracehold
