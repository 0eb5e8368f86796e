#include "app/inputs.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <thread>
#include <unordered_set>

#include "app/byte_source.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/plan/read_plan.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold {
namespace {

namespace fs = std::filesystem;

std::string ending_of(const fs::path& path) {
    std::string ending = path.extension().string();
    for (char& c : ending) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return ending;
}

bool is_recording_name(const fs::path& path) {
    constexpr std::array<std::string_view, 6> kEndings = {".csv", ".txt", ".tsv", ".edf", ".bdf", ".rec"};
    const bool own_result = path.filename().string().ends_with(".measures.csv");
    return !own_result && std::find(kEndings.begin(), kEndings.end(), ending_of(path)) != kEndings.end();
}

// Results say so within the first bytes, however many follow.
constexpr std::size_t kSniffed = std::size_t{1} << 16;

// Plans, truths and other people's JSON lie in the same folders.
bool holds_results(const fs::path& path) {
    const std::string ending = ending_of(path);
    return (ending == ".json" || ending == ".ndjson") && looks_like_results(ByteSource(path.string()).read(kSniffed));
}

bool is_same_file(const fs::path& a, const std::string& b) {
    std::error_code ignored;
    return !b.empty() && fs::equivalent(a, b, ignored);
}

bool is_companion(const fs::path& path, const Options& options) {
    return is_same_file(path, options.plan) || is_same_file(path, options.sessions) ||
           is_same_file(path, options.corrections) || is_same_file(path, options.files_from);
}

std::vector<std::string> files_below(const std::string& folder, const Options& options, Wanted wanted) {
    std::vector<std::string> found;
    std::error_code error;
    fs::recursive_directory_iterator entry(folder, fs::directory_options::skip_permission_denied, error);
    for (; !error && entry != fs::recursive_directory_iterator(); entry.increment(error)) {
        std::error_code ignored;
        const fs::path& path = entry->path();
        if (!entry->is_regular_file(ignored) || is_companion(path, options)) continue;
        const bool is_recording = wanted != Wanted::results && is_recording_name(path);
        if (is_recording || (wanted != Wanted::recordings && holds_results(path))) found.push_back(path.string());
    }
    if (error) throw Error(ErrorKind::cannot_open, folder, "", "cannot search the folder: " + error.message());
    std::sort(found.begin(), found.end());
    if (found.empty() && wanted == Wanted::results) {
        throw Error(ErrorKind::bad_setting, folder, "", "no results in this folder", "results are written by 'score' with --format json or ndjson");
    }
    if (found.empty()) {
        throw Error(ErrorKind::bad_setting, folder, "", "no recordings in this folder",
                    "recordings end in .csv .txt .tsv .edf .bdf .rec; name other files one by one");
    }
    return found;
}

// Names as lines, an empty one is none; or each ended by NUL, as 'find -print0' writes them.
std::vector<std::string> names_in(std::string_view list) {
    const char end = list.find('\0') == std::string_view::npos ? '\n' : '\0';
    std::vector<std::string> names;
    while (!list.empty()) {
        std::string_view name = list.substr(0, list.find(end));
        list.remove_prefix(std::min(name.size() + 1, list.size()));
        if (end == '\n' && name.ends_with('\r')) name.remove_suffix(1);
        if (!name.empty()) names.emplace_back(name);
    }
    return names;
}

void refuse_double_use_of_input(const Options& options) {
    const bool twice = std::find(options.inputs.begin(), options.inputs.end(), "-") != options.inputs.end();
    if (options.files_from != "-" || !twice) return;
    throw Error(ErrorKind::bad_setting, "-", "", "standard input cannot be both a recording and the list of --files-from");
}

}  // namespace

std::vector<std::string> find_inputs(const Options& options, Wanted wanted) {
    std::vector<std::string> all;
    std::unordered_set<std::string> seen;
    const auto add = [&](const std::string& path) {
        if (seen.insert(path).second) all.push_back(path);
    };
    std::vector<std::string> names = options.inputs;
    if (!options.files_from.empty()) {
        refuse_double_use_of_input(options);
        const std::vector<std::string> more = names_in(read_bytes(options.files_from));
        names.insert(names.end(), more.begin(), more.end());
    }
    for (const std::string& name : names) {
        std::error_code ignored;
        if (name != "-" && fs::is_directory(name, ignored)) {
            for (const std::string& path : files_below(name, options, wanted)) add(path);
        } else {
            add(name);
        }
    }
    return all;
}

std::size_t job_count(const Options& options) {
    return options.jobs > 0 ? options.jobs : std::max(1u, std::thread::hardware_concurrency());
}

Error no_memory_for(const std::string& path) {
    return Error(ErrorKind::unsupported, path, "", "there is not enough memory for it",
                 "split the recording, or use fewer --jobs");
}

Plan read_plan_file(const std::string& path) { return read_plan(read_bytes(path), path); }

Companions read_companions(const Options& options) {
    Companions companions;
    if (!options.plan.empty()) companions.plan = read_plan_file(options.plan);
    if (!options.sessions.empty()) {
        companions.sessions = read_sessions_list(read_bytes(options.sessions), options.sessions);
        companions.sessions_folder = fs::path(options.sessions).parent_path().string();
    }
    if (!options.corrections.empty()) {
        const std::string bytes = read_bytes(options.corrections);
        companions.corrections = read_corrections(bytes, options.corrections);
        companions.corrections_sha256 = sha256_hex(bytes);
    }
    return companions;
}

}  // namespace tracehold
