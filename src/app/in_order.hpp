#pragma once
// Independent work on several threads, results taken in order.
#include <condition_variable>
#include <cstddef>
#include <exception>
#include <map>
#include <mutex>
#include <optional>
#include <thread>
#include <utility>
#include <vector>

namespace tracehold {

// Calls make(i) for i in [0, count) on up to `threads` threads and take(i, result) on the calling thread, in order of i. At most
// `threads` results wait at any time beyond the one being made by each thread. What make or take throws stops the rest and is
// thrown again here.
template <class Make, class Take>
void in_order(std::size_t count, std::size_t threads, Make make, Take take) {
    using Result = decltype(make(std::size_t{}));
    std::mutex mutex;
    std::condition_variable changed;
    std::map<std::size_t, Result> ready;
    std::exception_ptr failure;
    std::size_t next_made = 0, next_taken = 0;
    bool stopped = false;

    const auto worker = [&] {
        std::unique_lock lock(mutex);
        while (true) {
            changed.wait(lock, [&] { return stopped || next_made >= count || next_made < next_taken + 2 * threads; });
            if (stopped || next_made >= count) return;
            const std::size_t i = next_made++;
            lock.unlock();
            std::exception_ptr thrown;
            std::optional<Result> result;
            try {
                result.emplace(make(i));
            } catch (...) {
                thrown = std::current_exception();
            }
            lock.lock();
            if (result) ready.emplace(i, std::move(*result));
            if (thrown) failure = thrown, stopped = true;
            changed.notify_all();
        }
    };

    std::vector<std::jthread> pool;
    for (std::size_t i = 0; i < threads && i < count; ++i) pool.emplace_back(worker);
    try {
        std::unique_lock lock(mutex);
        while (next_taken < count) {
            changed.wait(lock, [&] { return stopped || ready.contains(next_taken); });
            if (stopped) break;
            auto node = ready.extract(next_taken);
            lock.unlock();
            take(next_taken, std::move(node.mapped()));
            lock.lock();
            ++next_taken;
            changed.notify_all();
        }
    } catch (...) {
        const std::lock_guard lock(mutex);
        failure = std::current_exception();
        stopped = true;
        changed.notify_all();
    }
    pool.clear();
    if (failure) std::rethrow_exception(failure);
}

}  // namespace tracehold
