#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "tracehold/core/error.hpp"
#include "tracehold/core/memory.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold {
namespace {

struct Descriptor {
    int number = -1;
    explicit Descriptor(int n) : number(n) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (number > STDERR_FILENO) ::close(number);
    }
};

[[noreturn]] void refuse(const std::string& path, std::string why, std::string hint = {}) {
    throw Error(ErrorKind::cannot_open, path, "", std::move(why), std::move(hint));
}

[[noreturn]] void refuse_errno(const std::string& path, int number) {
    if (number == ENOENT || number == ENOTDIR) refuse(path, "no such file");
    if (number == EACCES || number == EPERM) refuse(path, "no permission to read it");
    refuse(path, std::string("cannot be read: ") + std::strerror(number));
}

void check_size(const std::string& source, std::size_t bytes) {
    if (bytes <= kMostOfFile) return;
    throw Error(ErrorKind::unsupported, source, "",
                fmt::format("too large: saw {} bytes, expected at most {} (2 GiB)", bytes, kMostOfFile),
                "split the recording");
}

int open_for_reading(const std::string& path) {
    while (true) {
        // Without O_NONBLOCK a FIFO would keep the program waiting for a writer.
        const int number = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
        if (number >= 0 || errno != EINTR) return number;
    }
}

template <class Check>
std::string read_all(int descriptor, const std::string& source, std::size_t expected, Check check) {
    constexpr std::size_t kBlock = std::size_t{1} << 18;  // small enough to be still at hand when it is read into
    std::string bytes;
    std::size_t size = 0;
    bytes.reserve(expected + 1);  // one more, so that the end is met without another block
    take_large_pages(bytes.data(), bytes.capacity());
    while (true) {
        if (size == bytes.capacity()) bytes.reserve(size + std::max(kBlock, size / 2));
        if (size == bytes.size()) bytes.resize(std::min(size + kBlock, bytes.capacity()));
        const ssize_t count = ::read(descriptor, bytes.data() + size, bytes.size() - size);
        if (count == 0) break;
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) refuse_errno(source, errno);
        size += static_cast<std::size_t>(count);
        check(size);
    }
    bytes.resize(size);
    return bytes;
}

}  // namespace

void check_stream(std::size_t bytes, std::size_t most) {
    if (bytes <= most) return;
    throw Error(ErrorKind::unsupported, "standard input", "",
                fmt::format("too large: saw more than {} bytes and no end, expected at most as many", most),
                "save it to a file first");
}

std::string read_bytes(const std::string& path) {
    if (path == "-") return read_all(STDIN_FILENO, "standard input", 0, [](std::size_t bytes) { check_stream(bytes); });
    if (path.empty()) refuse(path, "no file name: saw an empty one");
    if (path.find('\0') != std::string::npos) refuse(shown(path), "no file name: saw a NUL in it");
    const Descriptor file(open_for_reading(path));
    if (file.number < 0) refuse_errno(path, errno);
    struct stat facts {};
    if (::fstat(file.number, &facts) != 0) refuse_errno(path, errno);
    if (S_ISDIR(facts.st_mode)) refuse(path, "is a folder, expected a file");
    if (!S_ISREG(facts.st_mode))
        refuse(path, "is a device or pipe, expected a regular file", "pipe it in and give - as the file");
    const auto size = static_cast<std::size_t>(facts.st_size);
    check_size(path, size);
    return read_all(file.number, path, size, [&](std::size_t bytes) { check_size(path, bytes); });
}

}  // namespace tracehold
