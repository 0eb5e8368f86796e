#include "app/result_folder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <filesystem>

#include "app/kept_files.hpp"
#include "app/output.hpp"
#include "app/pages.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/identity/hide.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold {
namespace {

namespace fs = std::filesystem;

std::string ending_of(Format format, const Options& options) {
    switch (format) {
        case Format::text: return page_ending(options, "txt");
        case Format::json: return "json";
        case Format::ndjson: return "ndjson";
        case Format::csv: return "measures.csv";  // never taken for a recording: see find_inputs
        case Format::weeks: return "weeks.measures.csv";
        case Format::md: return page_ending(options, "md");
        case Format::html: return page_ending(options, "html");
        case Format::fhir: return options.fhir == FhirForm::ndjson ? "fhir.ndjson" : "fhir.json";
        default: break;  // formats of other commands
    }
    return "";
}

std::string path_of(const Options& options, const std::string& name, const std::string& ending) {
    return (fs::path(options.out) / (name + "." + ending)).string();
}

std::string path_of(const Options& options, const std::string& name, Format format) {
    return path_of(options, name, ending_of(format, options));
}

std::string receipt_path(const Options& options, const std::string& name) { return path_of(options, name, "sha256"); }

void place(const std::string& path, std::string_view text) {
    Output output(path);
    output.write(text);
    output.put_in_place();
}

// A file of a recording and its SHA-256: a line as sha256sum has it.
struct Receipt {
    std::string sha256;
    std::string file;  // without its folder
};

// In: the texts of all formats.
std::vector<Receipt> receipts_of(const Options& options, const std::string& name, const std::vector<std::string>& texts) {
    std::vector<Receipt> receipts;
    for (std::size_t i = 0; i < texts.size(); ++i)
        receipts.push_back({sha256_hex(texts[i]), fs::path(path_of(options, name, options.formats[i])).filename().string()});
    return receipts;
}

// As sha256sum writes a name with a line break or a backslash in it: escaped, which a backslash ahead of the line says.
std::string receipt_line(const Receipt& one) {
    std::string file;
    for (const char c : one.file) file += c == '\\' ? "\\\\" : c == '\n' ? "\\n" : c == '\r' ? "\\r" : std::string(1, c);
    return fmt::format("{}{}  {}\n", file == one.file ? "" : "\\", one.sha256, file);
}

Receipt receipt_from(std::string line) {
    constexpr std::size_t kHash = 64;  // digits, and two blanks behind them
    const bool escaped = line.starts_with('\\');
    if (escaped) line.erase(0, 1);
    if (line.size() <= kHash + 2) return {};
    Receipt one{line.substr(0, kHash), {}};
    for (std::size_t i = kHash + 2; i < line.size(); ++i) {
        const bool pair = escaped && line[i] == '\\' && i + 1 < line.size();
        if (pair) ++i;
        one.file += pair && line[i] == 'n' ? '\n' : pair && line[i] == 'r' ? '\r' : line[i];
    }
    return one;
}

// Those of all calls for this recording. None where there are none, or none that can be read.
std::vector<Receipt> receipts_there(const Options& options, const std::string& name) {
    std::vector<Receipt> receipts;
    std::string text;
    try {
        text = read_bytes(receipt_path(options, name));
    } catch (const Error&) {
        return {};
    }
    for (std::size_t begin = 0, end; (end = text.find('\n', begin)) != std::string::npos; begin = end + 1) {
        if (Receipt one = receipt_from(text.substr(begin, end - begin)); !one.file.empty()) receipts.push_back(std::move(one));
    }
    return receipts;
}

// Those of now, and of the files of other calls that are there still.
std::string receipt_text(const Options& options, const std::string& name, std::vector<Receipt> now) {
    const auto is_now = [&](const Receipt& one) { return std::any_of(now.begin(), now.end(), [&](const Receipt& other) { return other.file == one.file; }); };
    std::vector<Receipt> earlier = receipts_there(options, name);
    std::error_code ignored;
    std::erase_if(earlier, [&](const Receipt& one) { return is_now(one) || one.file.find('/') != std::string::npos || !fs::exists(fs::path(options.out) / one.file, ignored); });
    now.insert(now.end(), earlier.begin(), earlier.end());
    std::string lines;
    for (const Receipt& one : now) lines += receipt_line(one);
    return lines;
}

bool are_there(const Options& options, const std::string& name, const std::vector<Receipt>& wanted) {
    const std::vector<Receipt> there = receipts_there(options, name);
    return std::all_of(wanted.begin(), wanted.end(), [&](const Receipt& one) {
        return std::any_of(there.begin(), there.end(), [&](const Receipt& other) { return other.file == one.file && other.sha256 == one.sha256; });
    });
}

// A recording's files as they are. Errors: cannot_open.
std::vector<std::string> texts_there(const Options& options, const std::string& name) {
    std::vector<std::string> texts;
    for (const Format format : options.formats) texts.push_back(read_bytes(path_of(options, name, format)));
    return texts;
}

// What the result in JSON does not tell: the paper of a page, the shape of a bundle.
bool is_shaped_as_asked(std::string_view text, Format format, const Options& options) {
    if (format == Format::html) return is_printed_on(text, options.paper);
    return format != Format::fhir || text.starts_with(fhir_opening(fhir_settings(options)));
}

// The format that carries all that must be known to leave a recording alone.
std::optional<std::size_t> whole_format(const std::vector<Format>& formats) {
    const auto is_whole = [](Format format) { return format == Format::json || format == Format::ndjson; };
    const auto found = std::find_if(formats.begin(), formats.end(), is_whole);
    if (found == formats.end()) return std::nullopt;
    return static_cast<std::size_t>(found - formats.begin());
}

// One file alone needs it where it can be resumed: who changes a result by hand leaves whole JSON behind.
bool has_receipt(const std::vector<Format>& formats) { return formats.size() > 1 || whole_format(formats); }

// What is known of both must agree, and something must be: of recorders that number their files and name nobody nothing is. A clock
// is set right by less than an hour. Our choices.
bool same_session(const RecordingFacts& a, const RecordingFacts& b) {
    const bool named = !a.person.empty() && !b.person.empty(), timed = a.start && b.start;
    if (named && a.person != b.person) return false;
    if (timed && std::chrono::abs(a.start->local - b.start->local) >= std::chrono::hours{1}) return false;
    return named || timed;
}

std::string who_and_when(const RecordingFacts& facts) {
    return fmt::format("{}, {}", facts.person.empty() ? std::string("nobody named") : shown(facts.person), facts.start ? to_text(*facts.start) : "no time");
}

// What the result says of where it came from, as this call would say it, hidden as it asks.
void restate(SessionScore& score, const std::string& input, const std::string& sha256, const Assignment& prepared,
             const ScoreSettings& settings) {
    SessionScore said{.settings = settings_for(prepared, settings), .plan = prepared.plan, .corrections = prepared.corrections};
    said.recording = {.source = input, .sha256 = sha256, .site = prepared.site};
    if (prepared.entry) said.recording.person = prepared.entry->person;
    if (prepared.entry) said.recording.start = prepared.entry->start;
    if (prepared.entry) said.recording.posture = prepared.entry->posture;
    said = hide(std::move(said), *prepared.identity);
    score.tool_version = said.tool_version;
    score.settings = said.settings;
    score.plan = said.plan;
    score.corrections = said.corrections;
    score.recording.source = said.recording.source;
    score.recording.sha256 = said.recording.sha256;
    score.recording.site = said.recording.site;
    const Given& given = prepared.given;
    if (given.person) score.recording.person = said.recording.person;
    if (given.start && start_of(*prepared.entry, score.recording.start) == prepared.entry->start) score.recording.start = said.recording.start;
    if (given.posture) score.recording.posture = said.recording.posture;
}

}  // namespace

ResultFolder::ResultFolder(const Options& options, const std::vector<std::string>& inputs) : options_(options) {
    if (options.resume && !whole_format(options.formats)) {
        throw Error(ErrorKind::wrong_use, options.out, "", "what is done already is known by its results in JSON, saw none among the formats",
                    "add --format json");
    }
    if (options.resume && options.identity == IdentityLevel::anonymous) {
        throw Error(ErrorKind::wrong_use, options.out, "", "anonymous results cannot be resumed: their numbers rest on all recordings of a call", "leave out --resume");
    }
    if (options.identity == IdentityLevel::keep) {
        for (const std::string& input : inputs) {
            for (const std::string& path : paths_of(base_name(input, {}, ""))) refuse_to_replace(path);
        }
    }
    if (options.dry_run) {
        check_place(options.out);
    } else {
        make_folder(options.out);
    }
}

std::vector<std::string> ResultFolder::paths_of(const std::string& name) const {
    std::vector<std::string> paths;
    for (const Format format : options_.formats) paths.push_back(path_of(options_, name, format));
    if (has_receipt(options_.formats)) paths.push_back(receipt_path(options_, name));
    return paths;
}

std::optional<Error> ResultFolder::another_there(const std::string& name, const RecordingFacts& here, const std::vector<std::string>& texts) const {
    for (const std::string& path : paths_of(name)) {
        std::error_code ignored;
        const fs::file_status there = fs::status(path, ignored);
        if (!fs::exists(there) || fs::is_regular_file(there)) continue;
        return Error(ErrorKind::cannot_write, path, "", "something else than a file stands where a result goes: saw a folder, pipe, socket or device",
                     "take it away, or score into another folder");
    }
    if (options_.identity == IdentityLevel::pseudonym) return std::nullopt;  // there the name is of the bytes
    const auto whole = whole_format(options_.formats);
    const std::vector<Format> looked_for = whole ? std::vector{options_.formats[*whole]} : std::vector{Format::json, Format::ndjson};
    std::string path;
    std::error_code ignored;
    for (const Format format : looked_for)
        if (path.empty() && fs::exists(path_of(options_, name, format), ignored)) path = path_of(options_, name, format);
    if (path.empty()) return std::nullopt;
    if (options_.identity == IdentityLevel::anonymous) {
        if (texts.empty() || !whole || read_bytes(path) == texts[*whole]) return std::nullopt;
        return Error(ErrorKind::bad_setting, path, "", "holds another anonymous result: whether it is of the same recording cannot be told",
                     "score into an empty folder");
    }
    RecordingFacts there;
    try {
        there = read_session_json(read_bytes(path), path).recording;
    } catch (const Error&) {
        return std::nullopt;  // no result that could be lost
    }
    if (there.sha256 == here.sha256 || same_session(there, here)) return std::nullopt;
    return Error(ErrorKind::bad_setting, path, "",
                 fmt::format("holds the result of another recording of the same name: saw {}, and this one is {}", who_and_when(there), who_and_when(here)),
                 "score into another folder, or take the older result away");
}

bool ResultFolder::has_older(const std::string& name) const {
    const std::vector<std::string> paths = paths_of(name);
    std::error_code ignored;
    return std::any_of(paths.begin(), paths.end(), [&](const std::string& path) { return fs::exists(path, ignored); });
}

std::vector<std::string> ResultFolder::outdated(const std::string& name, const std::vector<std::string>& texts) const {
    const auto whole = whole_format(options_.formats);
    std::error_code ignored;
    if (!whole || !fs::exists(path_of(options_, name, options_.formats[*whole]), ignored)) return {};
    if (read_bytes(path_of(options_, name, options_.formats[*whole])) == texts[*whole]) return {};
    const std::vector<std::string> replaced = paths_of(name);
    std::vector<std::string> others;
    for (fs::directory_iterator entry(options_.out, ignored); !ignored && entry != fs::directory_iterator(); entry.increment(ignored)) {
        const std::string path = (fs::path(options_.out) / entry->path().filename()).string();
        if (!entry->path().filename().string().starts_with(name + ".")) continue;
        if (std::find(replaced.begin(), replaced.end(), path) == replaced.end()) others.push_back(path);
    }
    std::sort(others.begin(), others.end());
    return others;
}

void ResultFolder::write(const std::string& name, const std::vector<std::string>& texts) {
    const FolderLock lock(options_.out);
    for (std::size_t i = 0; i < texts.size(); ++i) place(path_of(options_, name, options_.formats[i]), texts[i]);
    std::error_code ignored;
    const bool keeps_one = has_receipt(options_.formats) || fs::exists(receipt_path(options_, name), ignored);
    if (keeps_one) place(receipt_path(options_, name), receipt_text(options_, name, receipts_of(options_, name, texts)));
}

// By the name and not by the bytes: what would be written is known, and refused where it must be, before anything is read.
std::string with_room_for_ending(const std::string& name) {
    constexpr std::size_t kMost = 255 - 32;  // bytes: NAME_MAX of Linux less '.patient-microvolts.de.html' and some
    constexpr std::size_t kHash = 12;        // hexadecimal digits: two of a million names alike with a chance of 1 in 500
    if (name.size() <= kMost) return name;
    std::size_t cut = kMost - 1 - kHash;
    const auto within_character = [&] { return (static_cast<unsigned char>(name[cut]) & 0xC0) == 0x80; };
    while (cut > 0 && within_character()) --cut;
    return name.substr(0, cut) + "-" + sha256_hex(name).substr(0, kHash);
}

std::string base_name(const std::string& input, const Identity& identity, const std::string& sha256) {
    if (identity.hides()) return recording_label(identity, sha256);
    return input == "-" ? "standard-input" : with_room_for_ending(fs::path(input).filename().string());
}

void ResultFolder::finish() const { flush_folder(options_.out); }

std::optional<SessionScore> ResultFolder::kept(const std::string& input, const std::string& sha256, const Assignment& prepared,
                                               const ScoreSettings& settings) const {
    try {
        const std::string name = base_name(input, *prepared.identity, sha256);
        const std::vector<std::string> texts = texts_there(options_, name);
        if (!are_there(options_, name, receipts_of(options_, name, texts))) return std::nullopt;
        for (std::size_t i = 0; i < texts.size(); ++i)
            if (!is_shaped_as_asked(texts[i], options_.formats[i], options_)) return std::nullopt;
        const std::size_t whole = *whole_format(options_.formats);
        SessionScore score = read_session_json(texts[whole], input);
        restate(score, input, sha256, prepared, settings);
        const int indent = options_.formats[whole] == Format::json ? 2 : 0;
        if (session_json(score, indent) != texts[whole]) return std::nullopt;
        return score;
    } catch (const Error&) {
        return std::nullopt;
    }
}

}  // namespace tracehold
