// Blocks of tens of megabytes, as recordings of hours take them, come from the system one by one and in fresh pages. In pages of
// 4 KiB to write to them for the first time takes longer than what is then done with them: the program asks for larger ones.
#include <cstdlib>
#include <new>

#include "tracehold/core/memory.hpp"
#include "tracehold/core/wide_lanes.hpp"

#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__) && !defined(TRACEHOLD_SANITIZED)  // these have their own

namespace {

constexpr std::size_t kLarge = std::size_t{32} << 20;  // bytes; smaller ones are cut out of pages that are in use already

}  // namespace

void* operator new(std::size_t bytes) {
    void* block = nullptr;
    while ((block = std::malloc(bytes > 0 ? bytes : 1)) == nullptr) {
        const std::new_handler handler = std::get_new_handler();
        if (handler == nullptr) throw std::bad_alloc();
        handler();
    }
    if (bytes >= kLarge) tracehold::take_large_pages(block, bytes);
    return block;
}

void operator delete(void* block) noexcept { std::free(block); }
void operator delete(void* block, std::size_t) noexcept { std::free(block); }

#endif
