// Scores again from the recordings and says, field by field, where a result is not what comes out now.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <new>
#include <optional>
#include <set>

#include "app/byte_source.hpp"
#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/in_order.hpp"
#include "app/inputs.hpp"
#include "app/key_file.hpp"
#include "app/message_names.hpp"
#include "app/output.hpp"
#include "app/pipeline.hpp"
#include "app/progress.hpp"
#include "app/recordings_now.hpp"
#include "app/stop_signal.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/exchange/compare_results.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/identity/hide.hpp"
#include "tracehold/plan/read_plan.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold {
namespace {

namespace fs = std::filesystem;

// What the call says, beside the recordings; each read once.
struct Sources {
    const Options& options;
    MessageNames names;
    Recordings recordings;
    std::optional<Companions> corrections;   // that file
    std::optional<std::vector<SessionEntry>> sessions;  // the list
    std::optional<Companions> of_hidden;     // with a key: the files of a run that hid identities, and its pseudonyms
    std::map<std::string, std::string> by_keyed_hash;  // with a key: the recordings
};

// What a result has from a list that was not given.
struct ListMissing {
    std::string what;    // "corrections"
    std::string option;  // "--corrections FILE", which would compare it
};

// One result under examination: what was found, and from what it is scored again.
struct Examination {
    std::string name;
    std::size_t fields = 0;
    std::vector<std::string> findings;
    std::string recording = {};                  // where it is now
    std::vector<ListMissing> not_compared = {};  // such a result is not verified, though nothing was found

    void find(std::string_view what, std::string_view first, std::string_view now) {
        findings.push_back(fmt::format("{}: the result says {}, now it is {}", what, first, now));
    }
};

// Out: the bytes scored, if there still are any of that recording. Errors: cannot_open.
std::optional<std::string> same_recording(const SessionScore& score, const Sources& sources, Examination& seen) {
    const std::string path = seen.recording = path_now(score.recording, sources.recordings);
    if (path == "-") throw Error(ErrorKind::cannot_open, path, "", "it came from standard input", "name its folder with --recordings FOLDER");
    std::string bytes = read_bytes(path);
    const std::string sha256 = sha256_hex(bytes);
    if (sha256 == score.recording.sha256) {
        // Files are renamed; but the name of another recording that is there is no name of this one.
        const std::string said = fs::path(score.recording.source).filename().string(), now = fs::path(path).filename().string();
        const auto other = sources.recordings.by_name.find(said);
        const bool is_another = said != now && other != sources.recordings.by_name.end() && sha256_hex(read_bytes(other->second)) != sha256;
        if (is_another) seen.find("/recording/source", shown(said, 200), shown(now, 200));
        return bytes;
    }
    seen.find(fmt::format("the recording {} has changed, SHA-256", shown(path, 200)), shown(score.recording.sha256, 64), sha256);
    return std::nullopt;
}

std::string plan_path(const Plan& plan, const Options& options) {
    if (!options.plan.empty()) return options.plan;
    std::error_code ignored;
    const fs::path beside = fs::path(options.recordings) / fs::path(plan.source).filename();
    const bool moved = !fs::exists(plan.source, ignored) && !options.recordings.empty() && fs::exists(beside, ignored);
    return moved ? beside.string() : plan.source;
}

// The plan of the file if that is the one that was used, else the result's copy: the other numbers can be compared still.
Plan plan_used(const Plan& copy, const Options& options, Examination& seen) {
    const std::string path = plan_path(copy, options);
    try {
        const std::string text = read_bytes(path);
        if (sha256_hex(text) == copy.sha256) return read_plan(text, copy.source);
        seen.find(fmt::format("the plan {} has changed, SHA-256", shown(path, 200)), shown(copy.sha256, 64), sha256_hex(text));
    } catch (const Error& error) {
        seen.findings.push_back(fmt::format("the plan cannot be read (--plan FILE says where it is): {}", error.what()));
    }
    return copy;
}

// What the result itself says came from a sessions list: taken as it stands, and told as not compared.
SessionEntry entry_in(const SessionScore& score, Examination& seen) {
    const Given& given = score.settings.given;
    SessionEntry entry;
    std::vector<std::string> facts;
    const auto take = [&](bool listed, const char* fact, auto& into, const auto& value) {
        if (!listed) return;
        into = value;
        facts.emplace_back(fact);
    };
    take(given.person, "person", entry.person, score.recording.person);
    take(given.start, "start", entry.start, score.recording.start);
    take(given.posture, "posture", entry.posture, score.recording.posture);
    take(!score.recording.site.empty(), "site", entry.site, score.recording.site);
    if (!facts.empty()) seen.not_compared.push_back({fmt::format("{}, from a sessions list", fmt::join(facts, ", ")), "--sessions FILE"});
    return entry;
}

// The row of the list that is given; plan and channel stand in the result, and are compared on their own.
SessionEntry listed_entry(const SessionScore& score, const Sources& sources, Examination& seen) {
    const std::string& source = score.recording.source;
    SessionEntry entry;
    if (!sources.sessions) {
        entry = entry_in(score, seen);
    } else if (const SessionEntry* row = find_entry(*sources.sessions, source)) {
        entry = {.person = row->person, .start = row->start, .posture = row->posture, .site = row->site};
    }
    entry.file = source;
    return entry;
}

ListMissing corrections_missing() { return {"corrections", "--corrections FILE"}; }

// With a list, its rows are compared, none being among them; else the result's are taken as they stand, and told as not compared.
Companions corrections_of(const SessionScore& score, const Sources& sources, Examination& seen) {
    const std::string& sha256 = score.settings.given.corrections_sha256;
    if (sources.corrections) {
        Companions given = *sources.corrections;
        if (sha256.empty() || sha256 == given.corrections_sha256) return given;
        seen.find("the corrections have changed, SHA-256", shown(sha256, 64), given.corrections_sha256);
        given.corrections_sha256 = sha256;  // said once
        return given;
    }
    if (!score.corrections.empty()) {
        if (sha256.empty()) seen.findings.emplace_back("/tool/settings/given/corrections_sha256: the result says null, and has corrections");
        seen.not_compared.push_back(corrections_missing());
    }
    Companions copied;
    copied.corrections = score.corrections;
    copied.corrections_sha256 = sha256;
    return copied;
}

Companions companions_of(const SessionScore& score, const Sources& sources, Examination& seen) {
    const SessionEntry entry = listed_entry(score, sources, seen);
    Companions companions = corrections_of(score, sources, seen);
    if (score.plan) companions.plan = plan_used(*score.plan, sources.options, seen);
    companions.sessions = {entry};
    return companions;
}

Options options_of(const Given& given) {
    Options options;
    options.channel = given.channel;
    options.accessory = given.accessory;
    options.rate_hz = given.rate_hz;
    options.unit = given.unit;
    options.kind = given.kind;
    return options;
}

void compare(std::string_view text, const SessionScore& again, const Sources& sources, Examination& seen) {
    const Comparison compared = compare_results(text, session_json(again, 0), sources.options.tolerance.value_or(0.0));
    seen.fields = compared.fields;
    for (const FieldDifference& difference : compared.differences) {
        seen.find(shown(difference.field, 200), shown(difference.first, 200), shown(difference.second, 200));
    }
}

// The label that stands behind a pseudonym; the word itself where it is none.
std::string label_behind(const std::string& word, const Recording& recording, const Identity& identity) {
    for (const Channel& channel : recording.channels) {
        if (shown_word(identity, "channel", channel.label) == word) return channel.label;
    }
    return word;
}

// The copy of the plan in a hidden result, in the recording's own words again.
Plan plan_behind(Plan plan, const Recording& recording, const Identity& identity) {
    if (shown_word(identity, "posture", recording.posture) == plan.posture) plan.posture = recording.posture;
    plan.channel = label_behind(plan.channel, recording, identity);
    for (std::string& label : plan.accessory_channels) label = label_behind(label, recording, identity);
    for (std::vector<std::string>* cues : {&plan.contract_cues, &plan.relax_cues}) {
        for (std::string& cue : *cues) {
            const auto behind = [&](const Mark& mark) { return shown_word(identity, "cue", mark.text) == cue; };
            const auto found = std::find_if(recording.marks.begin(), recording.marks.end(), behind);
            if (found != recording.marks.end()) cue = found->text;
        }
    }
    return plan;
}

// Scored from the files that the run had and hidden with its key, a result comes out the same to the last field. What was not
// given is taken from the result: that costs one finding or remark, and the other numbers can be compared still.
SessionScore scored_under_pseudonyms(const SessionScore& score, Companions companions, const std::string& path, Examination& seen) {
    const Given& given = score.settings.given;
    Options options = options_of(given);
    options.channel = options.accessory = "";
    const bool corrections_copied = companions.corrections_sha256.empty() && !score.corrections.empty();
    if (corrections_copied) {
        companions.corrections = score.corrections;
        for (Correction& correction : companions.corrections) correction.file.clear();
        seen.not_compared.push_back(corrections_missing());
    }
    Assignment assignment = assign(path, options, companions);
    const bool plan_copied = score.plan && !assignment.plan, posture_of_plan = assignment.recording.posture.empty();
    if (plan_copied) {
        seen.findings.emplace_back("the plan was not given (--plan FILE, or --sessions FILE with a list that names it); its copy in the result was taken");
        companions.plan = plan_behind(*score.plan, assignment.recording, companions.identity);
        assignment = assign(path, options, companions);
    }
    const auto settle = [&](const std::string& word, std::string& used, std::string& told) {
        if (!word.empty()) used = told = label_behind(word, assignment.recording, companions.identity);
    };
    settle(given.channel, assignment.channel, assignment.given.channel);
    settle(given.accessory, assignment.accessory, assignment.given.accessory);
    ScoreSettings settings = score.settings;
    settings.identity = IdentityLevel::keep;  // what is scored now is hidden afterwards
    SessionScore again = score_recording(std::move(assignment), settings).score;
    if (plan_copied) again.plan = score.plan;
    if (plan_copied && posture_of_plan) again.recording.posture = score.plan->posture;
    if (corrections_copied) {
        again.corrections = score.corrections;
        again.settings.given.corrections_sha256 = given.corrections_sha256;
    }
    return again;
}

void examine_hidden(std::string_view text, const SessionScore& score, const Sources& sources, Examination& seen) {
    if (score.settings.identity == IdentityLevel::anonymous) {
        seen.findings.push_back("it is anonymous: nothing in it leads back to its recording; a result of the same recording that is not can be verified");
        return;
    }
    if (!sources.of_hidden) {
        seen.findings.push_back("identities are hidden in it: it can be scored again with --key-file FILE, --recordings FOLDER, and the --plan, "
                                "--sessions and --corrections that it was made with");
        return;
    }
    const auto found = sources.by_keyed_hash.find(score.recording.sha256);
    if (found == sources.by_keyed_hash.end()) {
        seen.findings.push_back(fmt::format("no recording with its keyed hash {} (--recordings FOLDER says where they are)", shown(score.recording.sha256, 64)));
        return;
    }
    seen.recording = found->second;
    try {
        compare(text, scored_under_pseudonyms(score, *sources.of_hidden, found->second, seen), sources, seen);
    } catch (const Error& error) {
        throw hide(error, score.recording.source, IdentityLevel::pseudonym);
    }
}

void examine(std::string_view text, const SessionScore& score, const Sources& sources, Examination& seen) {
    if (score.settings.identity != IdentityLevel::keep) return examine_hidden(text, score, sources, seen);
    const Companions companions = companions_of(score, sources, seen);
    const std::optional<std::string> bytes = same_recording(score, sources, seen);
    if (!bytes) return;
    Assignment assignment = assign_bytes(*bytes, score.recording.source, options_of(score.settings.given), companions);
    compare(text, score_recording(std::move(assignment), score.settings).score, sources, seen);
}

// The recording that a damaged result is of, by a hash that stands in it still, else by its file's name; "" where neither tells.
std::string recording_of_damaged(std::string_view text, const std::string& path, const Sources& sources) {
    constexpr std::size_t kHashDigits = 64;
    for (std::size_t quote = text.find('"'); quote != text.npos; quote = text.find('"', quote + 1)) {
        const std::string word(text.substr(quote + 1, kHashDigits));
        for (const auto* by_hash : {&sources.recordings.by_sha256, &sources.by_keyed_hash}) {
            if (const auto found = by_hash->find(word); found != by_hash->end()) return found->second;
        }
    }
    const auto named = sources.recordings.by_name.find(fs::path(path).stem().string());
    return named == sources.recordings.by_name.end() ? "" : named->second;
}

std::optional<SessionScore> result_in(std::string_view text, const MessageNames& names, Examination& seen) {
    try {
        return read_session_json(text, seen.name);
    } catch (const Error& error) {
        seen.findings.push_back(fmt::format("damaged, or no result of this version: {}", names.shown(error).what()));
        return std::nullopt;
    }
}

Examination examined(std::string_view text, const std::string& name, const std::string& path, const Sources& sources) {
    Examination seen{.name = name};
    try {
        if (const auto score = result_in(text, sources.names, seen)) {
            examine(text, *score, sources, seen);
        } else {
            seen.recording = recording_of_damaged(text, path, sources);
        }
    } catch (const Error& error) {
        seen.findings.push_back(fmt::format("cannot be scored again: {}", sources.names.shown(error).what()));
    } catch (const std::bad_alloc&) {
        seen.findings.push_back("cannot be scored again: there is not enough memory");
    }
    return seen;
}

std::string verdict(const Examination& seen) {
    const std::string name = shown(seen.name, 400);
    if (seen.findings.empty()) {
        if (seen.not_compared.empty()) return fmt::format("{}: verified, {} fields\n", name, seen.fields);
        std::string text = fmt::format("{}: NOT verified: {} fields are as they come out with what it says itself, which was not compared:\n", name, seen.fields);
        for (const ListMissing& missing : seen.not_compared) text += fmt::format("    {} ({} compares them)\n", missing.what, missing.option);
        return text;
    }
    std::string text = fmt::format("{}: NOT verified\n", name);
    for (std::string_view finding : seen.findings) {
        while (!finding.empty()) {
            const std::string_view line = finding.substr(0, finding.find('\n'));
            text += "    " + shown(line, 2000) + "\n";
            finding.remove_prefix(std::min(line.size() + 1, finding.size()));
        }
    }
    return text;
}

// Says each verdict as it comes, and counts.
class Verdicts {
public:
    Verdicts(std::size_t total, bool quiet) : progress_(total, quiet) {}
    void add(const std::vector<Examination>& all) {
        progress_.step();
        progress_.hide();
        for (const Examination& seen : all) {
            output_.write(verdict(seen));
            ++results_;
            recordings_.insert(seen.recording);
            if (!seen.findings.empty()) continue;
            ++(seen.not_compared.empty() ? verified_ : without_lists_);
            for (const ListMissing& missing : seen.not_compared) options_missing_.insert(missing.option);
        }
    }
    void beat() {
        stop_.check();
        progress_.show();
    }
    // A result that is missing is not seen by looking at those that are there.
    void say_without_result(const Recordings& there, const Options& options) const {
        const auto without = std::count_if(there.by_sha256.begin(), there.by_sha256.end(),
                                           [&](const auto& each) { return recordings_.count(each.second) == 0; });
        if (without == 0) return;
        MessageNames(options).say(options.recordings, {"without_result", "", fmt::format("{} {} there {} no result here", without, without == 1 ? "recording" : "recordings", without == 1 ? "has" : "have")});
    }
    ExitStatus finish() {
        const std::string without = without_lists_ == 0 ? "" : fmt::format(", {} more but for a list that was not given ({})", without_lists_, fmt::join(options_missing_, ", "));
        output_.write(fmt::format("{} of {} results verified{}\n", verified_, results_, without));
        return verified_ == results_ ? ExitStatus::done : ExitStatus::refused;
    }

private:
    Output output_{"-"};
    Progress progress_;
    StopSignal stop_;
    std::size_t results_ = 0, verified_ = 0, without_lists_ = 0;
    std::set<std::string> options_missing_;
    std::set<std::string> recordings_;  // of the results
};

// Of what is no result only the beginning comes from standard input: enough to say so.
std::string read_results(const std::string& path) {
    if (path != "-") return read_input(path);
    ByteSource source(path);
    std::string begun = source.read(kSniffed);
    return looks_like_results(begun) ? source.whole_stream(std::move(begun)) : begun;
}

// A year of results does not fit into the memory as texts: each file is read where it is examined.
std::vector<Examination> examined_file(const std::string& path, const Sources& sources) {
    const std::string name = sources.names.shown(Error(ErrorKind::malformed, path, "", "")).source;
    std::vector<Examination> all;
    std::string bytes;
    try {
        bytes = read_results(path);
        const std::vector<ResultPart> texts = result_texts(bytes, path);
        for (const ResultPart& text : texts) {
            all.push_back(examined(text.text, texts.size() == 1 ? name : fmt::format("{}:{}", name, text.line), path, sources));
        }
    } catch (const Error& error) {
        const std::string finding = fmt::format("cannot be read: {}", sources.names.shown(error).what());
        all.push_back({.name = name, .findings = {finding}, .recording = recording_of_damaged(bytes, path, sources)});
    }
    return all;
}

ExitStatus verify(const Options& options) {
    const std::vector<std::string> inputs = find_inputs(options, Wanted::results);
    Sources sources{.options = options, .names = MessageNames(options, inputs), .recordings = recordings_below(options), .corrections = {}, .sessions = {}, .of_hidden = {}, .by_keyed_hash = {}};
    if (!options.corrections.empty()) {
        Options list;
        list.corrections = options.corrections;
        sources.corrections = read_companions(list);
    }
    if (!options.sessions.empty())
        sources.sessions = read_sessions_list(read_companion(options.sessions, "--sessions names a CSV list with a column 'file'"), options.sessions).entries;
    if (!options.key_file.empty()) {
        sources.of_hidden = read_companions(options);
        const Identity& identity = sources.of_hidden->identity = pseudonymous(read_key(options.key_file));
        for (const auto& [sha256, path] : sources.recordings.by_sha256) sources.by_keyed_hash[shown_hash(identity, sha256)] = path;
    }
    Verdicts verdicts(inputs.size(), options.quiet);
    in_order(
        inputs.size(), job_count(options), [&](std::size_t i) { return examined_file(inputs[i], sources); },
        [&](std::size_t, const std::vector<Examination>& all) { verdicts.add(all); }, [&] { verdicts.beat(); });
    verdicts.say_without_result(sources.recordings, options);
    const ExitStatus verified = verdicts.finish();
    return sources.recordings.all_read ? verified : ExitStatus::refused;
}

}  // namespace

// Who gives a key has results that hide names: no message about the files beside them tells one.
ExitStatus verify_command(const Options& asked) {
    Options options = asked;
    if (!options.key_file.empty()) options.identity = IdentityLevel::pseudonym;
    try {
        return verify(options);
    } catch (const Error& error) {
        throw MessageNames(options).shown(error);
    }
}

}  // namespace tracehold
