#include "tracehold/core/memory.hpp"

#include <sys/mman.h>

#include <cstdint>
#include <cstdlib>

#if defined(__GLIBC__)
#include <malloc.h>
#endif

namespace tracehold {
namespace {

constexpr std::size_t kLargestKept = std::size_t{32} << 20;  // bytes, the most that glibc takes
constexpr std::uintptr_t kPage = std::uintptr_t{2} << 20;    // bytes

}  // namespace

void keep_freed_memory() {
#if defined(__GLIBC__)
    ::mallopt(M_MMAP_THRESHOLD, static_cast<int>(kLargestKept));
    ::mallopt(M_TRIM_THRESHOLD, static_cast<int>(2 * kLargestKept));
#endif
}

// A block that is freed at once leaves its addresses to the next ones.
void take_large_pages() {
    constexpr std::size_t kSize = kLargestKept - kPage;  // the allocator's own words have room
    void* const block = std::malloc(kSize);
    take_large_pages(block, kSize);
    std::free(block);
}

void take_large_pages([[maybe_unused]] void* block, [[maybe_unused]] std::size_t bytes) {
#ifdef MADV_HUGEPAGE
    const auto at = reinterpret_cast<std::uintptr_t>(block);
    const std::uintptr_t begin = (at + kPage - 1) / kPage * kPage, end = (at + bytes) / kPage * kPage;
    if (block != nullptr && begin < end) ::madvise(reinterpret_cast<void*>(begin), end - begin, MADV_HUGEPAGE);
#endif
}

}  // namespace tracehold
