// Loaded before a program (LD_PRELOAD), makes the world fail under it.
//
// FAULT_FIRST=N FAULT_STEP=S: runs the program again and again, each time in a fork right before main, with the N-th
// allocation failing (FAULT_FOREVER=1: and all after it), then the one S later, and so on until a run has no such allocation. Each run must exit with
// 0, 1, 3 or 70, with a message unless it is 0; the file FAULT_OUT must then be missing or equal to FAULT_WANT, and equal
// after 0 or 1. What was found stands on standard output; status 1 if anything was. Memory that is missing before main is the
// loader's matter.
// FAULT_WRITE=K: every write() writes K bytes at most and every second one is interrupted first.
#include <dlfcn.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <iterator>
#include <new>
#include <string>

namespace {

std::atomic<long> until_failure{-1};  // allocations that still succeed; below 0: all

std::atomic<bool> failed{false};
bool forever = false;

bool fails_now() {
    if (until_failure.load(std::memory_order_relaxed) < 0) return forever && failed.load();
    if (until_failure.fetch_sub(1) == 0) failed = true;
    return failed.load() && until_failure.load() < 0;
}

long number_in(const char* name, long otherwise) {
    const char* text = std::getenv(name);
    return text != nullptr ? std::strtol(text, nullptr, 10) : otherwise;
}

std::string bytes_of(const char* path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

bool is_there(const char* path) {
    struct stat facts {};
    return ::stat(path, &facts) == 0;
}

using Main = int (*)(int, char**, char**);
Main program_main = nullptr;

constexpr int kNothingFailed = 99;
constexpr long kEnough = 20;  // findings, to tell what is wrong

struct Run {
    int status = 0;
    std::string message;
};

// One run of the program in a child; out of memory at the given allocation. The parent itself allocates freely.
Run run_failing_at(long allocation, int argc, char** argv, char** environment, const char* log) {
    std::fflush(nullptr);
    const pid_t child = ::fork();
    if (child == 0) {
        ::dup2(::open(log, O_WRONLY | O_CREAT | O_TRUNC, 0600), STDERR_FILENO);
        ::dup2(::open("/dev/null", O_WRONLY), STDOUT_FILENO);
        forever = number_in("FAULT_FOREVER", 0) != 0;
        until_failure = allocation - 1;
        const int status = program_main(argc, argv, environment);
        until_failure = -1;
        forever = false;
        std::exit(failed.load() ? status : kNothingFailed);
    }
    int state = 0;
    ::waitpid(child, &state, 0);
    return {WIFEXITED(state) ? WEXITSTATUS(state) : 128 + WTERMSIG(state), bytes_of(log)};
}

std::string complaint(const Run& run, const char* out, const std::string& want) {
    if (run.status != 0 && run.status != 1 && run.status != 3 && run.status != 70) return "status " + std::to_string(run.status);
    if (run.status != 0 && run.message.find("tracehold: ") == std::string::npos) return "no message";
    if (run.message.find("Sanitizer") != std::string::npos) return "a finding";
    if (is_there(out) && bytes_of(out) != want) return "half an output";
    if (run.status == 0 && !is_there(out)) return "no output but status 0";
    return "";
}

int run_failing(int argc, char** argv, char** environment) {
    const char* out = std::getenv("FAULT_OUT");
    const std::string want = bytes_of(std::getenv("FAULT_WANT"));
    const std::string log = std::string(out) + ".messages";
    const long step = number_in("FAULT_STEP", 1);
    long findings = 0, runs = 0, by_status[256] = {};
    for (long n = number_in("FAULT_FIRST", 1);; n += step, ++runs) {
        ::unlink(out);
        const Run run = run_failing_at(n, argc, argv, environment, log.c_str());
        if (run.status == kNothingFailed) break;
        ++by_status[run.status & 255];
        const std::string what = complaint(run, out, want);
        if (what.empty()) continue;
        if (++findings > kEnough) break;
        std::printf("allocation %ld: %s: %s\n", n, what.c_str(), run.message.substr(0, 3000).c_str());
    }
    std::printf("%ld runs, %ld findings; status 0: %ld, 1: %ld, 3: %ld, 70: %ld\n", runs, findings, by_status[0], by_status[1], by_status[3], by_status[70]);
    ::unlink(log.c_str());
    return findings == 0 && runs > 0 ? 0 : 1;
}

int main_instead(int argc, char** argv, char** environment) {
    return std::getenv("FAULT_FIRST") != nullptr ? run_failing(argc, argv, environment) : program_main(argc, argv, environment);
}

template <class Function>
Function real(const char* name) {
    return reinterpret_cast<Function>(::dlsym(RTLD_NEXT, name));
}

}  // namespace

extern "C" int __libc_start_main(Main main, int argc, char** argv, void (*init)(), void (*fini)(), void (*end)(), void* stack) {
    using Start = int (*)(Main, int, char**, void (*)(), void (*)(), void (*)(), void*);
    program_main = main;
    return real<Start>("__libc_start_main")(main_instead, argc, argv, init, fini, end, stack);
}

extern "C" ssize_t write(int descriptor, const void* bytes, size_t size) {
    static const auto real_write = real<ssize_t (*)(int, const void*, size_t)>("write");
    static const long most = number_in("FAULT_WRITE", 0);
    static std::atomic<unsigned> calls{0};
    if (most <= 0) return real_write(descriptor, bytes, size);
    if (calls.fetch_add(1) % 2 == 0) return errno = EINTR, -1;
    return real_write(descriptor, bytes, std::min(size, static_cast<size_t>(most)));
}

// Allocations of C++; with a sanitizer, which has an allocator of its own, they are all that can be counted. (C code below asks
// for little: file streams, folders.)
void* operator new(size_t size) {
    void* memory = fails_now() ? nullptr : std::malloc(size == 0 ? 1 : size);
    if (memory == nullptr) throw std::bad_alloc();
    return memory;
}
void* operator new[](size_t size) { return operator new(size); }
void* operator new(size_t size, const std::nothrow_t&) noexcept { return fails_now() ? nullptr : std::malloc(size == 0 ? 1 : size); }
void* operator new[](size_t size, const std::nothrow_t& none) noexcept { return operator new(size, none); }
void operator delete(void* memory) noexcept { std::free(memory); }
void operator delete[](void* memory) noexcept { std::free(memory); }
void operator delete(void* memory, size_t) noexcept { std::free(memory); }
void operator delete[](void* memory, size_t) noexcept { std::free(memory); }
