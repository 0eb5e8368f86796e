#include "app/output.hpp"

#include <dirent.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <memory>
#include <utility>
#include <vector>

#include "app/kept_files.hpp"
#include "tracehold/core/error.hpp"

namespace tracehold {
namespace {

[[noreturn]] void fail(const std::string& path, std::string_view step) {
    const char* hint = errno == ENOENT ? "make the folder first" : "check the free space and the rights of the folder";
    throw Error(ErrorKind::cannot_write, path, "", fmt::format("{}: {}", step, std::strerror(errno)), hint);
}

// The system call until it is not interrupted by a signal.
template <class Call>
auto uninterrupted(Call call) {
    while (true) {
        const auto result = call();
        if (result >= 0 || errno != EINTR) return result;
    }
}

bool write_all(int descriptor, std::string_view text) {
    while (!text.empty()) {
        const ssize_t count = uninterrupted([&] { return ::write(descriptor, text.data(), text.size()); });
        if (count == 0) errno = EIO;  // no progress, and no reason: trying again might never end
        if (count <= 0) return false;
        text.remove_prefix(static_cast<std::size_t>(count));
    }
    return true;
}

// Ours, and no other program's: 'XXXXXX' is six letters or digits, as mkostemp makes them.
constexpr std::string_view kUnfinished = ".tracehold-unfinished-";

bool is_unfinished_name(std::string_view name) {
    if (!name.starts_with(kUnfinished) || name.size() != kUnfinished.size() + 6) return false;
    return std::all_of(name.begin() + kUnfinished.size(), name.end(), [](unsigned char c) { return std::isalnum(c) != 0; });
}

void sweep_file(const std::string& path) {
    const int descriptor = ::open(path.c_str(), O_RDWR | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (descriptor < 0) return;
    struct stat file {};
    const bool regular = ::fstat(descriptor, &file) == 0 && S_ISREG(file.st_mode);
    if (regular && ::flock(descriptor, LOCK_EX | LOCK_NB) == 0) ::unlink(path.c_str());
    ::close(descriptor);
}

int open_folder(const std::string& folder) {
    const std::string name = folder.empty() ? "." : folder;
    return uninterrupted([&] { return ::open(name.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC); });
}

std::string folder_of(const std::string& path) { return std::filesystem::path(path).parent_path().string(); }

mode_t rights_of_new_files() {
    const mode_t mask = ::umask(0);
    ::umask(mask);
    return 0640 & ~mask;
}

}  // namespace

Output::Output(const std::string& path) : path_(path) {
    refuse_folder(path);
    refuse_to_replace(path);
    if (path == "-") {
        path_ = "standard output";
        descriptor_ = STDOUT_FILENO;
        return;
    }
    struct stat existing {};
    if (::stat(path.c_str(), &existing) == 0 && !S_ISREG(existing.st_mode)) {  // a device or pipe is written to, never replaced
        descriptor_ = uninterrupted([&] { return ::open(path.c_str(), O_WRONLY | O_CLOEXEC); });
        if (descriptor_ < 0) fail(path_, "cannot open");
        return;
    }
    open_pending();
}

// The lock says that the file is in use: see sweep_unfinished. One that was swept between its birth and its lock is made anew.
void Output::open_pending() {
    struct stat made {};
    do {
        if (descriptor_ >= 0) ::close(descriptor_);
        const std::string name = (std::filesystem::path(path_).parent_path() / (std::string(kUnfinished) + "XXXXXX")).string();
        descriptor_ = uninterrupted([&] { return ::mkostemp((pending_ = name).data(), O_CLOEXEC); });
        if (descriptor_ < 0) {
            pending_.clear();
            fail(path_, "cannot create the file");
        }
        ::flock(descriptor_, LOCK_EX);  // a file system without locks: nothing is swept there either
    } while (::fstat(descriptor_, &made) == 0 && made.st_nlink == 0);
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
    put_in_place();
    flush_folder(folder_of(path_));
}

void Output::put_in_place() {
    if (pending_.empty()) return;
    refuse_to_replace(path_);  // it may have come to be an input since
    if (uninterrupted([&] { return ::fchmod(descriptor_, rights_of_new_files()); }) != 0) fail(path_, "cannot set the rights");
    if (uninterrupted([&] { return ::fsync(descriptor_); }) != 0) fail(path_, "cannot flush to the disk");
    if (uninterrupted([&] { return ::rename(pending_.c_str(), path_.c_str()); }) != 0) fail(path_, "cannot move into place");
    pending_.clear();
    if (::close(std::exchange(descriptor_, -1)) != 0 && errno != EINTR) fail(path_, "the file is in place but could not be closed");
}

FolderLock::FolderLock(const std::string& folder) : descriptor_(open_folder(folder)) {
    if (descriptor_ >= 0) ::flock(descriptor_, LOCK_EX);  // interrupted, the run is about to stop
}

FolderLock::~FolderLock() {
    if (descriptor_ >= 0) ::close(descriptor_);
}

void flush_folder(const std::string& folder) {
    const std::string name = folder.empty() ? "." : folder;
    const int descriptor = open_folder(folder);
    if (descriptor < 0) fail(name, "what was written is in place but the folder could not be opened to flush it to the disk");
    const bool flushed = uninterrupted([&] { return ::fsync(descriptor); }) == 0;
    ::close(descriptor);
    if (!flushed) fail(name, "what was written is in place but the folder could not be flushed to the disk");
}

void sweep_unfinished(const std::string& folder) {
    const std::string name = folder.empty() ? "." : folder;
    // Not by std::filesystem: libstdc++ 12 reads freed memory there where memory runs out.
    const std::unique_ptr<DIR, int (*)(DIR*)> entries(::opendir(name.c_str()), ::closedir);
    if (!entries) return;
    while (const dirent* entry = ::readdir(entries.get())) {
        if (is_unfinished_name(entry->d_name)) sweep_file(name + "/" + entry->d_name);
    }
}

void check_place(const std::string& path) {
    refuse_to_replace(path);
    if (path == "-") return;
    struct stat existing {};
    const bool stays = ::stat(path.c_str(), &existing) == 0 && !S_ISREG(existing.st_mode);  // a folder, a device
    std::string place = stays ? path : folder_of(path);
    std::error_code ignored;
    while (path.ends_with('/') && !place.empty() && !std::filesystem::exists(place, ignored)) place = folder_of(place);  // will be made
    if (place.empty()) place = ".";
    if (::stat(place.c_str(), &existing) != 0 || ::access(place.c_str(), W_OK) != 0) fail(path, "cannot create");
    if (stays || S_ISDIR(existing.st_mode)) return;
    errno = ENOTDIR;
    fail(path, "cannot create");
}

void refuse_folder(const std::string& path) {
    if (!writes_folder(path)) return;
    throw Error(ErrorKind::wrong_use, path, "--out", "saw a folder, expected the name of a file", "one file is written");
}

void require_folder(const std::string& path, const std::string& why) {
    if (writes_folder(path)) return;
    const std::string saw = path == "-" ? "standard output" : "a file name";
    throw Error(ErrorKind::wrong_use, path == "-" ? "" : path, "--out", fmt::format("{}: saw {}, expected a folder", why, saw),
                "add --out FOLDER/");
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

bool writes_folder(const std::string& out) { return out != "-" && is_folder_path(out); }

bool is_folder_path(const std::string& path) {
    std::error_code ignored;
    return path.ends_with('/') || std::filesystem::is_directory(path, ignored);
}

}  // namespace tracehold
