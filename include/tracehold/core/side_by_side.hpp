#pragma once
// Two threads for one recording, where there is a core that no other recording uses.
#include <future>
#include <utility>

namespace tracehold {

// Whether the calling thread has a second core to itself. Whoever hands out threads says so; a new thread has none.
inline thread_local bool has_second_core = false;

// Both, the second on a thread of its own where there is a core for it: worth it from a millisecond on. Neither may change what the
// other sees, so that the results are the same either way. What the first throws comes first.
template <class First, class Second>
void side_by_side(First first, Second second) {
    if (!std::exchange(has_second_core, false)) {
        first();
        second();
        return;
    }
    const auto policy = std::launch::async | std::launch::deferred;  // here and later, where the system gives no thread
    std::future<void> other = std::async(policy, std::move(second));
    first();
    other.get();
    has_second_core = true;
}

}  // namespace tracehold
