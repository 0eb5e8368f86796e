#include "app/inputs.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <map>
#include <thread>
#include <unordered_set>

#include "app/byte_source.hpp"
#include "app/kept_files.hpp"
#include "app/message_names.hpp"
#include "app/sessions_index.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/exchange/read_results.hpp"
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
    return std::find(kEndings.begin(), kEndings.end(), ending_of(path)) != kEndings.end();
}

// By name, as 'score' and 'export' write it into folders; tables under other names, and pages as text, which have a rule below their
// title, by what they hold.
bool is_own_output(const fs::path& path) {
    constexpr std::array<std::string_view, 5> kEnds = {".measures.csv", ".scored.csv", ".scored.edf", ".events.edf", "_events.tsv"};
    constexpr std::size_t kTitle = 512;
    const std::string name = path.filename().string(), ending = ending_of(path);
    if (std::any_of(kEnds.begin(), kEnds.end(), [&](std::string_view end) { return name.ends_with(end); })) return true;
    if (ending != ".txt" && ending != ".csv") return false;
    try {
        const std::string begun = ByteSource(path.string()).read(kTitle);
        return begun.starts_with("schema,") || (ending == ".txt" && begun.find("\n\u2501\u2501\u2501") != std::string::npos);
    } catch (const Error&) {
        return false;  // refused where it is read
    }
}

bool is_result_name(const fs::path& path) {
    const std::string ending = ending_of(path);
    return ending == ".json" || ending == ".ndjson" || ending == ".jsonl";
}

// By its name: pages and results, what is hidden, letters and pictures. No recordings that might be missed.
bool is_no_recording_name(const fs::path& path) {
    constexpr std::array<std::string_view, 17> kEndings = {".html", ".md", ".sha256", ".svg", ".jsonc", ".key", ".json", ".ndjson", ".jsonl",
                                                           ".pdf", ".docx", ".odt", ".jpg", ".jpeg", ".png", ".db", ".ini"};
    return path.filename().string().starts_with('.') || std::find(kEndings.begin(), kEndings.end(), ending_of(path)) != kEndings.end();
}

// Plans and truths lie in the same folders as results, and are no loss. All else of such a name is read, and refused by name if
// it is no result: a result that lost its beginning must not be passed over. Of files with endings that are not looked for the
// endings are told, for any may be a recording.
class PassedOver {
public:
    bool take(const fs::path& path) {
        const std::string_view kind = kind_of(path);
        if (!kind.empty()) ++kinds_[std::string(kind)];
        return !kind.empty();
    }
    void take_unknown(const fs::path& path) {
        const std::string ending = ending_of(path);
        ++kinds_[ending.empty() ? "without an ending" : shown(ending, 20)];
    }
    void take_link_to_folder() { ++links_; }
    // "3 files of other kinds passed over: 1 plan, 2 truth"
    void say(const std::string& folder, const Options& options) const {
        constexpr std::size_t kMostKinds = 8;
        std::string text = links_ == 0 ? "" : fmt::format("{} {}", links_, links_ == 1 ? "link to a folder" : "links to folders");
        std::size_t all = links_, told = 0;
        for (const auto& [kind, count] : kinds_) {
            if (told++ < kMostKinds) text += fmt::format("{}{} {}", text.empty() ? "" : ", ", count, kind);
            all += count;
        }
        if (all == 0) return;
        if (told > kMostKinds) text += ", ...";
        MessageNames(options).say(folder, {"other_kinds", "", fmt::format("{} {} of other kinds passed over: {}", all, all == 1 ? "file" : "files", text)});
    }

private:
    static std::string_view kind_of(const fs::path& path) {
        try {
            const std::string begun = ByteSource(path.string()).read(kSniffed);
            return looks_like_results(begun) ? "" : other_kind_of_json(begun);
        } catch (const Error&) {
            return "";  // refused where it is read: the other inputs go on
        }
    }

    std::map<std::string, std::size_t> kinds_;
    std::size_t links_ = 0;
};

// A link to a file that is gone, or on a disk that is not there, is refused by name where it is read: what it stood for is missing.
bool leads_nowhere(const fs::directory_entry& entry) {
    std::error_code ignored;
    return entry.is_symlink(ignored) && !entry.exists(ignored);
}

bool is_same_file(const fs::path& a, const std::string& b) {
    std::error_code ignored;
    return !b.empty() && fs::equivalent(a, b, ignored);
}

bool is_companion(const fs::path& path, const Options& options) {
    return is_same_file(path, options.plan) || is_same_file(path, options.sessions) ||
           is_same_file(path, options.corrections) || is_same_file(path, options.files_from);
}

// A folder below that cannot be searched stands among them, and is refused by name where it is read: what is in it is missing.
std::vector<std::string> files_below(const std::string& folder, const Options& options, Wanted wanted) {
    std::vector<std::string> found;
    PassedOver passed_over;
    std::error_code error;
    fs::recursive_directory_iterator entry(folder, fs::directory_options::skip_permission_denied, error);
    for (; !error && entry != fs::recursive_directory_iterator(); entry.increment(error)) {
        std::error_code ignored;
        const fs::path& path = entry->path();
        if (entry->is_directory(ignored)) {
            if (entry->is_symlink(ignored)) passed_over.take_link_to_folder();
            else if (::faccessat(AT_FDCWD, path.c_str(), R_OK | X_OK, AT_EACCESS) != 0) found.push_back(path.string());
        }
        if ((!entry->is_regular_file(ignored) && !leads_nowhere(*entry)) || is_companion(path, options)) continue;
        const bool may_be_recording = wanted != Wanted::results && !is_no_recording_name(path) && !is_own_output(path);
        const bool is_recording = may_be_recording && is_recording_name(path);
        const bool is_result = wanted != Wanted::recordings && is_result_name(path) && !passed_over.take(path);
        if (is_recording || is_result) found.push_back(path.string());
        else if (may_be_recording) passed_over.take_unknown(path);
    }
    passed_over.say(folder, options);
    if (error) throw Error(ErrorKind::cannot_open, folder, "", "cannot search the folder: " + error.message());
    std::sort(found.begin(), found.end());
    if (found.empty()) found.push_back(folder);  // refused where it is read: the other inputs go on
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
    throw Error(ErrorKind::wrong_use, "-", "", "standard input cannot be both a recording and the list of --files-from");
}

}  // namespace

std::vector<std::string> find_inputs(const Options& options, Wanted wanted) {
    std::vector<std::string> all;
    std::unordered_set<std::string> seen;
    const auto add = [&](const std::string& path) {
        if (!seen.insert(path).second) return;
        keep_file(path);
        all.push_back(path);
    };
    std::vector<std::string> names = options.inputs;
    if (!options.files_from.empty()) {
        refuse_double_use_of_input(options);
        const std::vector<std::string> more = names_in(read_companion(options.files_from, "--files-from names a file with the name of an input on each line"));
        if (more.empty()) throw Error(ErrorKind::too_short, options.files_from, "", "the list names no input");
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
    refuse_to_replace(options.out);
    return all;
}

std::size_t job_count(const Options& options) {
    constexpr rlim_t kForOne = rlim_t{64} << 20;  // bytes of addresses: stack, arena and a session of minutes
    const std::size_t asked = options.jobs > 0 ? options.jobs : std::max(1u, std::thread::hardware_concurrency());
    rlimit addresses{};
    if (::getrlimit(RLIMIT_AS, &addresses) != 0 || addresses.rlim_cur == RLIM_INFINITY) return asked;
    return std::clamp<std::size_t>(addresses.rlim_cur / kForOne, 1, asked);
}

Error no_memory_for(const std::string& path) {
    return Error(ErrorKind::unsupported, path, "", "there is not enough memory for it",
                 "split the recording, or use fewer --jobs");
}

std::string read_companion(const std::string& path, const char* hint) {
    constexpr std::uintmax_t kMost = std::uintmax_t{64} << 20;  // bytes; a list of 100,000 recordings takes a tenth of it. Our choice
    try {
        std::error_code unknown;
        const std::uintmax_t size = path == "-" ? 0 : fs::file_size(path, unknown);
        if (!unknown && size > kMost) throw Error(ErrorKind::unsupported, path, "", fmt::format("too large: saw {} bytes, expected at most {}", size, kMost));
        return read_bytes(path);
    } catch (const Error& error) {
        if (!error.hint.empty()) throw;
        throw Error(error.kind, error.source, error.place, error.message, hint);
    }
}

Plan read_plan_file(const std::string& path, const char* hint) { return read_plan(read_companion(path, hint), path); }

void say_unused_rows(const SessionsIndex& index, const Options& options) {
    constexpr std::size_t kMostNames = 3;
    const std::vector<std::string> unused = index.unused();
    if (unused.empty()) return;
    std::string names;
    for (std::size_t i = 0; i < std::min(unused.size(), kMostNames); ++i) names += fmt::format("{}'{}'", i == 0 ? "" : ", ", shown(unused[i]));
    if (unused.size() > kMostNames) names += " ...";
    MessageNames(options).say(options.sessions, {"rows_not_used", "", fmt::format("{} {} no recording of this call: {}", unused.size(), unused.size() == 1 ? "row fits" : "rows fit", names)});
}

void say_unused_rows(const Companions& companions, const std::vector<std::string>& recordings, const Options& options) {
    SessionsIndex index(companions.sessions);
    for (const std::string& recording : recordings) index.find(recording);
    say_unused_rows(index, options);
}

std::string plan_of(const SessionEntry& entry, const Companions& companions) {
    return (fs::path(companions.sessions_folder) / entry.plan).string();
}

Companions read_companions(const Options& options) {
    Companions companions;
    if (!options.plan.empty()) companions.plan = read_plan_file(options.plan);
    if (!options.sessions.empty()) {
        const std::string bytes = read_companion(options.sessions, "--sessions names a CSV list with a column 'file'");
        SessionsList list = read_sessions_list(bytes, options.sessions);
        companions.sessions_sha256 = sha256_hex(bytes);
        for (const Note& note : list.notes) MessageNames(options).say(options.sessions, note);
        companions.sessions = std::move(list.entries);
        companions.sessions_folder = fs::path(options.sessions).parent_path().string();
        for (const SessionEntry& entry : companions.sessions) {
            if (!entry.plan.empty()) keep_file(plan_of(entry, companions));
        }
    }
    if (!options.corrections.empty()) {
        const std::string bytes = read_companion(options.corrections, "--corrections names a CSV list of a clinician's corrections");
        companions.corrections = read_corrections(bytes, options.corrections);
        companions.corrections_sha256 = sha256_hex(bytes);
    }
    refuse_to_replace(options.out);
    return companions;
}

std::set<std::string> find_namesakes(const Companions& companions, const std::vector<std::string>& recordings) {
    std::map<std::string, std::vector<std::string>> called;  // by the names that a list speaks of
    const auto speaks_of = [&](const std::string& file) {
        if (!file.empty() && file.find('/') == std::string::npos) called[file];
    };
    for (const SessionEntry& entry : companions.sessions) speaks_of(entry.file);
    for (const Correction& correction : companions.corrections) speaks_of(correction.file);
    for (const std::string& path : recordings) {
        const auto found = called.find(fs::path(path).filename().string());
        if (found != called.end()) found->second.push_back(path);
    }
    std::set<std::string> namesakes;
    for (const auto& [name, paths] : called) {
        std::set<std::string> contents;
        for (const std::string& path : paths) {
            if (paths.size() == 1) break;
            try {
                contents.insert(sha256_hex(read_bytes(path)));
            } catch (const Error&) {
            }
        }
        if (contents.size() > 1) namesakes.insert(name);
    }
    return namesakes;
}

}  // namespace tracehold
