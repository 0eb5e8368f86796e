#include "tracehold/core/side_by_side.hpp"

#include <atomic>
#include <exception>
#include <system_error>

namespace tracehold {
namespace {

thread_local Helpers* helpers = nullptr;

}  // namespace

Helpers::Helpers(std::size_t count) {
    try {
        while (threads_.size() < count) threads_.emplace_back([this] { wait_for_jobs(); });
    } catch (const std::system_error&) {  // a limit on threads
    }
    if (!threads_.empty()) helpers = this;
}

Helpers::~Helpers() {
    if (helpers == this) helpers = nullptr;
    const std::lock_guard lock(mutex_);
    stopped_ = true;
    changed_.notify_all();
}

// A job that is over before this thread wakes is none of its own.
void Helpers::wait_for_jobs() {
    std::unique_lock lock(mutex_);
    for (std::size_t seen = 0;;) {
        changed_.wait(lock, [&] { return stopped_ || (job_ != nullptr && turn_ != seen); });
        if (stopped_) return;
        seen = turn_;
        Job& job = *job_;
        ++job.helped_by;
        lock.unlock();
        job.help();
        lock.lock();
        if (--job.helped_by == 0) left_.notify_one();
    }
}

std::size_t threads_here() { return 1 + (helpers != nullptr ? helpers->threads_.size() : 0); }

// A job within a job is helped with by those who have done their part of the outer one.
void each_side_by_side(std::size_t count, const std::function<void(std::size_t)>& work) {
    if (helpers == nullptr || count < 2) {
        for (std::size_t i = 0; i < count; ++i) work(i);
        return;
    }
    std::atomic<std::size_t> next = 1;
    std::vector<std::exception_ptr> thrown(count);
    const auto work_from = [&](std::size_t i) {
        for (; i < count; i = next++) {
            try {
                work(i);
            } catch (...) {
                thrown[i] = std::current_exception();
            }
        }
    };
    const std::function<void()> help = [&] { work_from(next++); };
    Helpers::Job job{help};
    const auto turn_to = [&](Helpers::Job* other) {
        ++helpers->turn_;
        helpers->changed_.notify_all();
        return std::exchange(helpers->job_, other);
    };
    std::unique_lock lock(helpers->mutex_);
    Helpers::Job* const outer = turn_to(&job);
    lock.unlock();
    work_from(0);
    lock.lock();
    turn_to(outer);
    helpers->left_.wait(lock, [&] { return job.helped_by == 0; });
    lock.unlock();
    for (const std::exception_ptr& why : thrown)
        if (why) std::rethrow_exception(why);
}

}  // namespace tracehold
