#include "app/byte_source.hpp"

#include <fcntl.h>
#include <poll.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "app/stop_signal.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold {
namespace {

constexpr const char* kWhatIsFound =
    "recordings (score, inspect, course, audit) end in .csv .txt .tsv .edf .bdf .rec, results of 'score' (course, audit, verify) in .json, "
    ".ndjson or .jsonl; name other files one by one";

[[noreturn]] void refuse(const std::string& path, const std::string& why, const std::string& hint = {}) {
    throw Error(ErrorKind::cannot_open, path, "", why, hint);
}

std::string why_missing(const std::string& path) {
    struct stat facts {};
    return ::lstat(path.c_str(), &facts) == 0 ? "no such file where the link leads" : "no such file";
}

// Whoever pipes in may be silent for long; a signal meanwhile is heard.
void wait_for_input(int descriptor) {
    constexpr int kBeat_ms = 100;
    pollfd waited{descriptor, POLLIN, 0};
    while (true) {
        stop_if_asked();
        const int ready = ::poll(&waited, 1, kBeat_ms);
        if (ready > 0 || (ready < 0 && errno != EINTR)) return;
    }
}

}  // namespace

ByteSource::ByteSource(const std::string& path) : path_(path) {
    if (path == "-") {
        path_ = "standard input";
        descriptor_ = STDIN_FILENO;
        return;
    }
    descriptor_ = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
    if (descriptor_ < 0)
        refuse(path, errno == ENOENT ? why_missing(path) : std::string("cannot be read: ") + std::strerror(errno));
    struct stat facts {};
    if (::fstat(descriptor_, &facts) == 0 && S_ISREG(facts.st_mode)) return;
    ::close(descriptor_);
    if (S_ISDIR(facts.st_mode)) refuse(path, "nothing that this command reads in this folder", kWhatIsFound);
    refuse(path, "is a device or pipe, expected a regular file", "pipe it in and give - as the file");
}

ByteSource::~ByteSource() {
    if (descriptor_ > STDERR_FILENO) ::close(descriptor_);
}

std::string ByteSource::read(std::size_t most) {
    std::string bytes(most, '\0');
    std::size_t size = 0;
    while (size < most) {
        if (descriptor_ == STDIN_FILENO) wait_for_input(descriptor_);
        const ssize_t count = ::read(descriptor_, bytes.data() + size, most - size);
        if (count == 0) break;
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) refuse(path_, std::string("cannot be read: ") + std::strerror(errno));
        size += static_cast<std::size_t>(count);
    }
    bytes.resize(size);
    return bytes;
}

std::string ByteSource::whole_stream(std::string begun) {
    const bool results = looks_like_results(begun);
    if (!results) refuse_no_recording(begun, path_);
    begun.reserve(kMostOfStream + kPiece);
    for (std::string more = read(kPiece); !more.empty(); more = read(kPiece)) {
        check_stream(begun.size() + more.size(), results ? kMostOfFile : kMostOfStream);
        begun += more;
    }
    return begun;
}

std::string read_input(const std::string& path) {
    ByteSource source(path);
    return path == "-" ? source.whole_stream(source.read(kSniffed)) : read_bytes(path);
}

}  // namespace tracehold
