#include "app/byte_source.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "tracehold/core/error.hpp"

namespace tracehold {
namespace {

[[noreturn]] void refuse(const std::string& path, const std::string& why) {
    throw Error(ErrorKind::cannot_open, path, "", why);
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
        refuse(path, errno == ENOENT ? "no such file" : std::string("cannot be read: ") + std::strerror(errno));
    struct stat facts {};
    const bool regular = ::fstat(descriptor_, &facts) == 0 && S_ISREG(facts.st_mode);
    if (regular) return;
    ::close(descriptor_);
    refuse(path, "is no regular file");
}

ByteSource::~ByteSource() {
    if (descriptor_ > STDERR_FILENO) ::close(descriptor_);
}

std::string ByteSource::read(std::size_t most) {
    std::string bytes(most, '\0');
    std::size_t size = 0;
    while (size < most) {
        const ssize_t count = ::read(descriptor_, bytes.data() + size, most - size);
        if (count == 0) break;
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) refuse(path_, std::string("cannot be read: ") + std::strerror(errno));
        size += static_cast<std::size_t>(count);
    }
    bytes.resize(size);
    return bytes;
}

}  // namespace tracehold
