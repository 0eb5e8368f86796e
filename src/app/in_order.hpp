#pragma once
// Independent work on several threads, results taken in order.
#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <exception>
#include <map>
#include <mutex>
#include <optional>
#include <system_error>
#include <thread>
#include <utility>
#include <vector>

#include "tracehold/core/memory.hpp"
#include "tracehold/core/side_by_side.hpp"

namespace tracehold {

// Starts up to `count` threads at `work`; fewer where the system gives no more. Out: how many were started.
template <class Work>
std::size_t start_threads(std::vector<std::jthread>& pool, std::size_t count, const Work& work) {
    pool.reserve(count);
    try {
        while (pool.size() < count) pool.emplace_back(work);
    } catch (const std::system_error&) {  // a limit on threads: those there are do it all
    }
    return pool.size();
}

// What the calling thread does beside the others: where it works it takes memory of its own, or they wait for each other's.
enum class Caller { waits, works };

// Calls make(i) for i in [0, count) on up to `threads` threads and take(i, result) on the calling thread, in order of i. Never
// more than 2 * threads results are under way or waiting. While it waits the calling thread calls tick() about ten times
// a second. What make, take or tick throws stops the rest, once what is under way is made, and is thrown again here.
template <class Make, class Take, class Tick>
void in_order(std::size_t count, std::size_t threads, Make make, Take take, Tick tick, Caller caller = Caller::waits) {
    using Result = decltype(make(std::size_t{}));
    constexpr std::chrono::milliseconds kBeat{100};
    constexpr std::size_t kMostAtOne = 8;  // threads; our choice: a recording has hardly work for more
    std::mutex mutex;
    std::condition_variable changed;
    std::map<std::size_t, Result> ready;
    std::exception_ptr failure;
    std::size_t next_made = 0, next_taken = 0;
    bool stopped = false;

    const auto stop = [&](std::exception_ptr why) {
        if (!failure) failure = std::move(why);
        stopped = true;
        changed.notify_all();
    };
    const auto worker = [&] {
        take_large_pages();
        const Helpers beside(std::clamp<std::size_t>(threads / count, 1, kMostAtOne) - 1);
        std::unique_lock lock(mutex);
        while (true) {
            changed.wait(lock, [&] { return stopped || next_made >= count || next_made < next_taken + 2 * threads; });
            if (stopped || next_made >= count) return;
            const std::size_t i = next_made++;
            lock.unlock();
            try {
                Result result = make(i);
                lock.lock();
                ready.emplace(i, std::move(result));
                changed.notify_all();
            } catch (...) {
                if (!lock.owns_lock()) lock.lock();
                stop(std::current_exception());
            }
        }
    };

    std::vector<std::jthread> pool;
    try {
        const std::size_t wanted = std::min(threads, count);
        share_memory(wanted > 1 && caller == Caller::works ? wanted + 1 : std::max<std::size_t>(wanted, 1));
        const std::size_t started = start_threads(pool, wanted, worker);
        std::unique_lock lock(mutex);
        while (next_taken < count && !stopped) {
            if (!ready.contains(next_taken) && started == 0) ready.emplace(next_taken, make(next_taken));
            changed.wait_for(lock, kBeat, [&] { return stopped || ready.contains(next_taken); });
            auto node = ready.extract(next_taken);
            lock.unlock();
            tick();
            if (node) take(next_taken, std::move(node.mapped()));
            lock.lock();
            if (node) ++next_taken;
            changed.notify_all();
        }
    } catch (...) {
        const std::lock_guard lock(mutex);
        stop(std::current_exception());
    }
    pool.clear();  // waits for what is under way
    if (failure) std::rethrow_exception(failure);
}

}  // namespace tracehold
