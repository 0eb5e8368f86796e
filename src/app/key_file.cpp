#include "app/key_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/random.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <filesystem>

#include "app/kept_files.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/keyed_hash.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

namespace fs = std::filesystem;

// A first word that says what the file is, then the key as hex digits.
constexpr std::string_view kFirstWord = "tracehold-key-1 ";
constexpr std::size_t kKeyBytes = 32;  // as long as the hash: more brings nothing (RFC 2104, section 3)

std::string variable(const char* name) {
    const char* value = std::getenv(name);
    return value != nullptr ? value : "";
}

[[noreturn]] void no_key(ErrorKind kind, const std::string& path, const std::string& why) {
    throw Error(kind, path, "", "no key for pseudonyms: " + why, "make one with 'tracehold key new', or name yours with --key-file FILE");
}

std::string random_bytes(std::size_t count, const std::string& path) {
    std::string bytes(count, '\0');
    if (::getrandom(bytes.data(), bytes.size(), 0) == static_cast<ssize_t>(bytes.size())) return bytes;
    throw Error(ErrorKind::cannot_write, path, "",
                std::string("the system gives no random bytes: ") + std::strerror(errno));
}

// Never through a link: whoever made the link would choose where the key goes.
int open_new(const std::string& path) {
    const int descriptor = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0600);
    if (descriptor >= 0) return descriptor;
    if (errno == EEXIST) {
        throw Error(ErrorKind::cannot_write, path, "", "there is a file already: a key is never overwritten",
                    "a lost key is lost for good, and with it who is who; name another file");
    }
    throw Error(ErrorKind::cannot_write, path, "", std::string("cannot create the file: ") + std::strerror(errno));
}

void write_whole(int descriptor, const std::string& text, const std::string& path) {
    const bool written = ::fchmod(descriptor, 0600) == 0 &&
                         ::write(descriptor, text.data(), text.size()) == static_cast<ssize_t>(text.size()) &&
                         ::fsync(descriptor) == 0;
    const int reason = errno;
    ::close(descriptor);
    if (written) return;
    ::unlink(path.c_str());
    throw Error(ErrorKind::cannot_write, path, "", std::string("cannot write: ") + std::strerror(reason),
                "check the free space and the rights of the folder");
}

}  // namespace

std::string key_path(const std::string& asked) {
    if (!asked.empty()) return asked;
    const std::string config = variable("XDG_CONFIG_HOME"), home = variable("HOME");
    if (config.starts_with('/'))
        return config + "/tracehold/clinic.key";  // a relative one is to be ignored (XDG base directories)
    return home.starts_with('/') ? home + "/.config/tracehold/clinic.key" : "";
}

std::string read_key(const std::string& asked) {
    const std::string path = key_path(asked);
    if (path.empty()) no_key(ErrorKind::wrong_use, path, "there is no home folder to look in");
    keep_file(path);
    const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    if (descriptor < 0) {
        const bool none_made = errno == ENOENT && asked.empty();
        no_key(none_made ? ErrorKind::wrong_use : ErrorKind::cannot_open, path,
               errno == ENOENT ? "no such file" : std::string("cannot be read: ") + std::strerror(errno));
    }
    struct stat facts {};
    std::array<char, 256> text{};
    const bool regular = ::fstat(descriptor, &facts) == 0 && S_ISREG(facts.st_mode);
    const ssize_t size = regular ? ::read(descriptor, text.data(), text.size()) : -1;
    ::close(descriptor);
    if (size < 0) no_key(ErrorKind::cannot_open, path, "is no regular file");
    if ((facts.st_mode & 077) != 0) {
        throw Error(ErrorKind::bad_setting, path, "",
                    fmt::format("others may read the key: saw mode {:04o}, expected 0600", facts.st_mode & 0777),
                    "chmod 600 on it; if others did read it, make a new one");
    }
    std::string_view word(text.data(), static_cast<std::size_t>(size));
    while (word.ends_with('\n') || word.ends_with('\r')) word.remove_suffix(1);
    const std::string key = word.starts_with(kFirstWord) ? bytes_of_hex(word.substr(kFirstWord.size())) : "";
    if (key.size() != kKeyBytes) {
        throw Error(ErrorKind::malformed, path, "", "not a key file, expected one that 'tracehold key new' made");
    }
    return key;
}

void write_new_key(const std::string& path) {
    if (path.empty()) {
        throw Error(ErrorKind::wrong_use, path, "", "there is no home folder for the key",
                    "name a file: tracehold key new FILE");
    }
    const fs::path folder = fs::path(path).parent_path();
    std::error_code error;
    if (!folder.empty()) fs::create_directories(folder, error);
    if (error) throw Error(ErrorKind::cannot_write, folder.string(), "", "cannot make the folder: " + error.message());
    const std::string key = random_bytes(kKeyBytes, path);
    std::string hex;
    for (const unsigned char byte : key) hex += fmt::format("{:02x}", byte);
    write_whole(open_new(path), std::string(kFirstWord) + hex + "\n", path);
}

}  // namespace tracehold
