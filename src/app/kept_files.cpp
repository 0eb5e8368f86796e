#include "app/kept_files.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <optional>
#include <set>
#include <utility>

#include "tracehold/core/error.hpp"

namespace tracehold {
namespace {

using File = std::pair<dev_t, ino_t>;  // the same through every name, symbolic and hard link

std::set<File>& kept() {
    static std::set<File> files;
    return files;
}

std::optional<File> file_under(const std::string& path, int stream) {
    struct stat facts {};
    const int failed = path == "-" ? ::fstat(stream, &facts) : ::stat(path.c_str(), &facts);
    if (failed != 0 || !S_ISREG(facts.st_mode)) return std::nullopt;
    return File{facts.st_dev, facts.st_ino};
}

}  // namespace

void keep_file(const std::string& path) {
    if (const auto file = file_under(path, STDIN_FILENO)) kept().insert(*file);
}

void refuse_to_replace(const std::string& path) {
    const auto file = file_under(path, STDOUT_FILENO);
    if (!file || kept().count(*file) == 0) return;
    throw Error(ErrorKind::wrong_use, path == "-" ? "standard output" : path, "", "the output would replace an input",
                "choose another --out");
}

}  // namespace tracehold
