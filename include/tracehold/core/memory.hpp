#pragma once
// How memory is taken from the system, for speed only: a fresh page of 4 KiB takes as long as filtering what is then written
// to it. Each is a wish, which a system may leave unheard.
#include <cstddef>

namespace tracehold {

// For the whole process, before it starts threads: what was freed is used again rather than given back to the system. Larger
// blocks, as of recordings of hours, are given back.
void keep_freed_memory();

// For the whole process: so many threads take memory at once, and those that help them take it from theirs.
void share_memory(std::size_t threads);

// For the calling thread: what it takes first, and uses again, comes in pages of 2 MiB. Costs nothing that is not used.
void take_large_pages();

// For a block that was just taken and not yet written to.
void take_large_pages(void* block, std::size_t bytes);

}  // namespace tracehold
