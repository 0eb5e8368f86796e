#pragma once
// A service's recordings in parts, for several machines: each person is in one part whole, and always in the same.
#include <string>
#include <string_view>

#include "app/options.hpp"

namespace tracehold {

// What decides the part: the person, or the file's base name where nobody is known.
std::string shard_key(std::string_view person, const std::string& path);

// By the first 64 bits of the SHA-256 of the key: the same on every machine, whatever else there is.
bool in_shard(const Shard& shard, std::string_view key);

}  // namespace tracehold
