#include "app/shard.hpp"

#include <charconv>
#include <cstdint>
#include <filesystem>

#include "tracehold/core/sha256.hpp"

namespace tracehold {

std::string shard_key(std::string_view person, const std::string& path) {
    return person.empty() ? std::filesystem::path(path).filename().string() : std::string(person);
}

bool in_shard(const Shard& shard, std::string_view key) {
    const std::string digits = sha256_hex(key);
    std::uint64_t number = 0;
    std::from_chars(digits.data(), digits.data() + 16, number, 16);
    return number % shard.parts == shard.part - 1;
}

}  // namespace tracehold
