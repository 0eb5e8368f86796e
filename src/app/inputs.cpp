#include "app/inputs.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <thread>
#include <unordered_set>

#include "tracehold/core/error.hpp"
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

// Plans, truths and other people's JSON lie in the same folders.
bool holds_results(const fs::path& path) {
    const std::string ending = ending_of(path);
    return (ending == ".json" || ending == ".ndjson") && looks_like_results(read_bytes(path.string()));
}

bool is_same_file(const fs::path& a, const std::string& b) {
    std::error_code ignored;
    return !b.empty() && fs::equivalent(a, b, ignored);
}

bool is_companion(const fs::path& path, const Options& options) {
    return is_same_file(path, options.plan) || is_same_file(path, options.sessions) ||
           is_same_file(path, options.corrections);
}

std::vector<std::string> files_below(const std::string& folder, const Options& options, Wanted wanted) {
    std::vector<std::string> found;
    std::error_code error;
    fs::recursive_directory_iterator entry(folder, fs::directory_options::skip_permission_denied, error);
    for (; !error && entry != fs::recursive_directory_iterator(); entry.increment(error)) {
        std::error_code ignored;
        const fs::path& path = entry->path();
        if (!entry->is_regular_file(ignored) || is_companion(path, options)) continue;
        const bool results = wanted == Wanted::recordings_and_results && holds_results(path);
        if (results || is_recording_name(path)) found.push_back(path.string());
    }
    if (error) throw Error(ErrorKind::cannot_open, folder, "", "cannot search the folder: " + error.message());
    std::sort(found.begin(), found.end());
    if (found.empty()) {
        throw Error(ErrorKind::bad_setting, folder, "", "no recordings in this folder",
                    "recordings end in .csv .txt .tsv .edf .bdf .rec; name other files one by one");
    }
    return found;
}

}  // namespace

std::vector<std::string> find_inputs(const Options& options, Wanted wanted) {
    std::vector<std::string> all;
    std::unordered_set<std::string> seen;
    const auto add = [&](const std::string& path) {
        if (seen.insert(path).second) all.push_back(path);
    };
    for (const std::string& name : options.inputs) {
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

Plan read_plan_file(const std::string& path) { return read_plan(read_bytes(path), path); }

Companions read_companions(const Options& options) {
    Companions companions;
    if (!options.plan.empty()) companions.plan = read_plan_file(options.plan);
    if (!options.sessions.empty()) {
        companions.sessions = read_sessions_list(read_bytes(options.sessions), options.sessions);
        companions.sessions_folder = fs::path(options.sessions).parent_path().string();
    }
    if (!options.corrections.empty()) {
        companions.corrections = read_corrections(read_bytes(options.corrections), options.corrections);
    }
    return companions;
}

}  // namespace tracehold
