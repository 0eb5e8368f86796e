#include "app/recordings_now.hpp"

#include <algorithm>
#include <filesystem>
#include <string_view>

#include "app/byte_source.hpp"
#include "app/console.hpp"
#include "app/inputs.hpp"
#include "app/message_names.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/core/utf8.hpp"

namespace tracehold {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view kLost = "\xEF\xBF\xBD";  // U+FFFD: in a result it stands for bytes that are no UTF-8

std::string without_lost(std::string_view name) {
    std::string kept;
    while (!name.empty()) {
        const std::size_t length = utf8_length(name);
        if (length > 0 && !name.starts_with(kLost)) kept += name.substr(0, length);
        name.remove_prefix(std::max<std::size_t>(length, 1));
    }
    return kept;
}

// A file in the folder whose name a result could not hold; "" where there is none.
std::string file_named(const fs::path& folder, const std::string& in_result) {
    if (in_result.find(kLost) == std::string::npos) return "";
    std::error_code error;
    fs::directory_iterator entry(folder.empty() ? "." : folder, error);
    for (; !error && entry != fs::directory_iterator(); entry.increment(error)) {
        const std::string name = entry->path().filename().string();
        if (!is_utf8(name) && without_lost(name) == without_lost(in_result)) return entry->path().string();
    }
    return "";
}

}  // namespace

Recordings recordings_below(const Options& options) {
    const std::string& folder = options.recordings;
    Recordings found;
    if (folder.empty()) return found;
    found.folder = folder;
    Options search;
    search.inputs = {folder};
    search.recordings = folder;
    search.identity = options.identity;
    search.quiet = options.quiet;
    for (const std::string& path : find_inputs(search)) {
        try {
            found.by_sha256.emplace(sha256_hex(read_input(path)), path);
            found.by_name.emplace(fs::path(path).filename().string(), path);
        } catch (const Error& error) {
            say_error(MessageNames(options).shown(error));
            found.all_read = false;
        }
    }
    return found;
}

std::string path_now(const RecordingFacts& recording, const Recordings& recordings) {
    const auto same = recordings.by_sha256.find(recording.sha256);
    if (same != recordings.by_sha256.end()) return same->second;
    const fs::path source(recording.source);
    const auto named = recordings.by_name.find(source.filename().string());
    if (named != recordings.by_name.end()) return named->second;
    const fs::path folder = recordings.folder.empty() ? source.parent_path() : fs::path(recordings.folder);
    const std::string found = file_named(folder, source.filename().string());
    return found.empty() ? recording.source : found;
}

}  // namespace tracehold
