#include "app/output.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <utility>
#include <vector>

#include "tracehold/core/error.hpp"

namespace tracehold {
namespace {

[[noreturn]] void fail(const std::string& path, std::string_view step) {
    throw Error(ErrorKind::cannot_write, path, "", fmt::format("{}: {}", step, std::strerror(errno)),
                "check the free space and the rights of the folder");
}

bool write_all(int descriptor, std::string_view text) {
    while (!text.empty()) {
        const ssize_t count = ::write(descriptor, text.data(), text.size());
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) return false;
        text.remove_prefix(static_cast<std::size_t>(count));
    }
    return true;
}

void flush_folder_of(const std::string& path) {
    const std::filesystem::path parent = std::filesystem::path(path).parent_path();
    const int folder = ::open(parent.empty() ? "." : parent.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (folder < 0) fail(path, "cannot open its folder");
    const bool flushed = ::fsync(folder) == 0;
    ::close(folder);
    if (!flushed) fail(path, "the file is in place but its folder could not be flushed to the disk");
}

mode_t rights_of_new_files() {
    const mode_t mask = ::umask(0);
    ::umask(mask);
    return 0640 & ~mask;
}

}  // namespace

Output::Output(const std::string& path) : path_(path) {
    if (path == "-") {
        path_ = "standard output";
        descriptor_ = STDOUT_FILENO;
        return;
    }
    struct stat existing {};
    if (::stat(path.c_str(), &existing) == 0 && !S_ISREG(existing.st_mode)) {  // a device or pipe is written to, never replaced
        descriptor_ = ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
        if (descriptor_ < 0) fail(path_, "cannot open");
        return;
    }
    pending_ = path + ".part-XXXXXX";
    descriptor_ = ::mkostemp(pending_.data(), O_CLOEXEC);
    if (descriptor_ < 0) fail(path_, "cannot create the file");
}

Output::~Output() {
    if (descriptor_ >= 0 && descriptor_ != STDOUT_FILENO) ::close(descriptor_);
    if (!pending_.empty()) ::unlink(pending_.c_str());
}

void Output::write(std::string_view text) {
    if (!write_all(descriptor_, text)) fail(path_, "cannot write");
}

void Output::finish() {
    if (pending_.empty()) return;
    if (::fchmod(descriptor_, rights_of_new_files()) != 0) fail(path_, "cannot set the rights");
    if (::fsync(descriptor_) != 0) fail(path_, "cannot flush to the disk");
    if (::close(std::exchange(descriptor_, -1)) != 0) fail(path_, "cannot close");
    if (::rename(pending_.c_str(), path_.c_str()) != 0) fail(path_, "cannot move into place");
    pending_.clear();
    flush_folder_of(path_);
}

void write_output(const std::string& path, std::string_view text) {
    Output output(path);
    output.write(text);
    output.finish();
}

void make_folder(const std::string& path) {
    std::error_code error;
    std::filesystem::create_directories(path, error);
    if (error) throw Error(ErrorKind::cannot_write, path, "", "cannot make the folder: " + error.message());
}

bool is_folder_path(const std::string& path) {
    std::error_code ignored;
    return path.ends_with('/') || std::filesystem::is_directory(path, ignored);
}

}  // namespace tracehold
