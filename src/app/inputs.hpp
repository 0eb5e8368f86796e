#pragma once
// Which recordings a command is about, and what is said of each beyond the file itself.
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "app/options.hpp"
#include "tracehold/identity/identity.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/plan/plan.hpp"
#include "tracehold/read/corrections.hpp"
#include "tracehold/read/sessions_list.hpp"

namespace tracehold {

// What a folder is searched for.
enum class Wanted { recordings, results, recordings_and_results };

// Folders are searched for recordings (.csv .txt .tsv .edf .bdf .rec, upper case too; and for files of
// results, .json .ndjson .jsonl, where wanted; those of other kinds are counted in a note), their contents in order of name, without
// the plan, the list and the corrections that options name; "-" stays. Files named outright are taken whatever they are called; each
// path once, where it first appears; those of --files-from come last. A folder without any stays itself: read_input says
// so. All are kept from outputs: see kept_files. Errors: cannot_open; wrong_use (standard input twice, --out is among them).
std::vector<std::string> find_inputs(const Options& options, Wanted wanted = Wanted::recordings);

// Everything beside the recordings: read once, used for each of them.
struct Companions {
    std::optional<Plan> plan;
    std::vector<SessionEntry> sessions;
    std::string sessions_sha256;  // of that list; "" without one
    std::string sessions_folder;  // plans named in the list are found from here
    std::vector<Correction> corrections;
    std::string corrections_sha256;  // of that file; "" without one
    std::set<std::string> namesakes;  // see find_namesakes
    Identity identity;               // keep, until the command sets it: see identity_for
};

// Errors: those of the files; wrong_use (--out is a plan that the list names).
Companions read_companions(const Options& options);

// Names without folder that a list of the companions speaks of, and that several recordings of the call have which are no copies of
// each other: of which of them it speaks nobody can tell. Those that cannot be read do not count.
std::set<std::string> find_namesakes(const Companions& companions, const std::vector<std::string>& recordings);

// The path of the plan that the list names for a recording.
std::string plan_of(const SessionEntry& entry, const Companions& companions);

class SessionsIndex;

// A note on standard error where rows of the sessions list fit no recording of the call.
void say_unused_rows(const SessionsIndex& index, const Options& options);
void say_unused_rows(const Companions& companions, const std::vector<std::string>& recordings, const Options& options);

// Threads to use: as asked for, else one per core; no more than a limit on addresses (ulimit -v) has room for.
std::size_t job_count(const Options& options);

// The bytes of a file beside the recordings; hint: what helps where it cannot be read. Errors: those of read_bytes.
std::string read_companion(const std::string& path, const char* hint);

Plan read_plan_file(const std::string& path, const char* hint = "a plan is a file of JSON; examples/plan-home-a.jsonc is one to copy");

// What stops one input, and not the program, where std::bad_alloc was thrown on its way.
Error no_memory_for(const std::string& path);

}  // namespace tracehold
