// Large blocks of the program are asked for in large pages, which Linux tells in /proc/self/smaps (proc(5): VmFlags, hg).
#include <doctest/doctest.h>

#include <cstdint>
#include <fstream>
#include <limits>
#include <memory>
#include <new>
#include <sstream>
#include <string>

#include "tracehold/core/wide_lanes.hpp"

namespace {

// The flags of the mapping that holds an address; "" where none does or none are told.
std::string flags_of(const void* address) {
    const auto at = reinterpret_cast<std::uintptr_t>(address);
    std::ifstream maps("/proc/self/smaps");
    bool here = false;
    for (std::string line; std::getline(maps, line);) {
        std::istringstream words(line);
        std::uintptr_t begin = 0, end = 0;
        char dash = ' ';
        if (words >> std::hex >> begin >> dash >> end && dash == '-') {
            here = begin <= at && at < end;
        } else if (here && line.starts_with("VmFlags:")) {
            return line + " ";
        }
    }
    return "";
}

}  // namespace

TEST_CASE("a block of many megabytes is asked for in large pages, and one that cannot be had is refused") {
    constexpr std::size_t kBytes = std::size_t{64} << 20;
    const auto block = std::make_unique_for_overwrite<char[]>(kBytes);
    block[kBytes / 2] = 'x';
    const std::string flags = flags_of(&block[kBytes / 2]);
    REQUIRE_FALSE(flags.empty());
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__) || defined(TRACEHOLD_SANITIZED)
    MESSAGE("skipped: a sanitizer gives the memory here");
#else
    if (std::ifstream("/sys/kernel/mm/transparent_hugepage/enabled")) {
        CHECK(flags.find(" hg ") != std::string::npos);
    } else {
        MESSAGE("skipped: this system has no large pages");
    }
    std::size_t most = std::numeric_limits<std::size_t>::max() / 4;
    CHECK_THROWS_AS(static_cast<void>(::operator new(most)), std::bad_alloc);
#endif
}
