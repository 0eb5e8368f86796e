#pragma once
// Several threads for one recording, where there are cores that no other recording uses.
#include <array>
#include <condition_variable>
#include <cstddef>
#include <functional>
#include <mutex>
#include <thread>
#include <utility>
#include <vector>

namespace tracehold {

// work(i) for each i below count, the first of them here and the others also by those who help the calling thread, if any do:
// worth it from a tenth of a millisecond on. None may change what another sees, so that the results are the same either way.
// Of those that throw, what the first throws is thrown again.
void each_side_by_side(std::size_t count, const std::function<void(std::size_t)>& work);

// The same for a few parts that differ.
template <class... Parts>
void side_by_side(Parts... parts) {
    const std::array<std::function<void()>, sizeof...(Parts)> all{std::move(parts)...};
    each_side_by_side(all.size(), [&](std::size_t i) { all[i](); });
}

// How many do such work, the calling thread among them.
std::size_t threads_here();

// So many threads help the one that makes this, as long as it lasts; fewer where the system gives no more. One a thread.
class Helpers {
public:
    explicit Helpers(std::size_t count);
    ~Helpers();
    Helpers(const Helpers&) = delete;
    Helpers& operator=(const Helpers&) = delete;

private:
    friend void each_side_by_side(std::size_t, const std::function<void(std::size_t)>&);
    friend std::size_t threads_here();

    struct Job {
        const std::function<void()>& help;
        std::size_t helped_by = 0;  // now
    };
    void wait_for_jobs();

    std::mutex mutex_;
    std::condition_variable changed_, left_;
    Job* job_ = nullptr;
    std::size_t turn_ = 0;  // of job_
    bool stopped_ = false;
    std::vector<std::jthread> threads_;
};

}  // namespace tracehold
