#include "tracehold/core/memory.hpp"

#include <sys/mman.h>

#include <cstdint>
#include <cstdlib>
#include <limits>
#include <memory>

#if defined(__GLIBC__)
#include <malloc.h>
#endif

namespace tracehold {
namespace {

constexpr std::uintptr_t kPage = std::uintptr_t{2} << 20;  // bytes

}  // namespace

void keep_freed_memory() {
#if defined(__GLIBC__)
    ::mallopt(M_MMAP_MAX, 0);
    ::mallopt(M_TRIM_THRESHOLD, std::numeric_limits<int>::max());
#endif
}

void share_memory([[maybe_unused]] std::size_t threads) {
#if defined(__GLIBC__)
    ::mallopt(M_ARENA_MAX, static_cast<int>(threads));
#endif
}

// A block that is given back at once leaves its addresses to the next ones; but what lies ahead of the first whole page, of
// which small pages are in use already, is kept from use.
void take_large_pages() {
    constexpr std::size_t kSize = std::size_t{30} << 20;  // bytes; what a session of minutes takes at most, and an arena holds at once
    thread_local std::unique_ptr<void, decltype(&std::free)> kept{nullptr, std::free};
    void* const block = std::malloc(kSize);
    if (block == nullptr) return;
    take_large_pages(block, kSize);
    const std::size_t ahead = kPage - reinterpret_cast<std::uintptr_t>(block) % kPage;
    kept.reset(std::realloc(block, ahead));
}

void take_large_pages([[maybe_unused]] void* block, [[maybe_unused]] std::size_t bytes) {
#ifdef MADV_HUGEPAGE
    const auto at = reinterpret_cast<std::uintptr_t>(block);
    const std::uintptr_t begin = (at + kPage - 1) / kPage * kPage, end = (at + bytes) / kPage * kPage;
    if (begin < end) ::madvise(reinterpret_cast<void*>(begin), end - begin, MADV_HUGEPAGE);
#endif
}

}  // namespace tracehold
