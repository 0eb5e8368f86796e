#pragma once
// How memory is taken from the system, for speed only: a fresh page of 4 KiB takes as long as filtering what is then written
// to it. Each is a wish, which a system may leave unheard.
#include <cstddef>
#include <vector>

namespace tracehold {

// For the whole process, before it starts threads: what was freed is used again rather than given back to the system, which it is
// at the end.
void keep_freed_memory();

// For the whole process: so many threads take memory at once, and those that help them take it from theirs.
void share_memory(std::size_t threads);

// For the calling thread: what it takes first, and uses again, comes in pages of 2 MiB. Costs nothing that is not used.
void take_large_pages();

// For a block that was just taken and not yet written to.
void take_large_pages(void* block, std::size_t bytes);

// Room for so many values, in large pages where it is a large block, as of recordings of hours.
template <class T>
void reserve_large(std::vector<T>& values, std::size_t size) {
    constexpr std::size_t kLarge = std::size_t{32} << 20;  // bytes; smaller ones are cut out of pages that are in use already
    values.reserve(size);
    if (values.capacity() * sizeof(T) >= kLarge) take_large_pages(values.data(), values.capacity() * sizeof(T));
}

}  // namespace tracehold
