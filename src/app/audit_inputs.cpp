// Results are read and cut apart by one thread, read as JSON by all, a batch at a time; of each the tally keeps what an audit
// needs. Recordings come after, each a batch of its own.
#include "app/audit_inputs.hpp"

#include <fmt/format.h>

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <map>
#include <optional>
#include <utility>

#include "app/byte_source.hpp"
#include "app/console.hpp"
#include "app/files_told.hpp"
#include "app/in_order.hpp"
#include "app/inputs.hpp"
#include "app/key_file.hpp"
#include "app/message_names.hpp"
#include "app/no_input.hpp"
#include "app/pipeline.hpp"
#include "app/progress.hpp"
#include "app/recordings_now.hpp"
#include "app/sessions_index.hpp"
#include "app/stop_signal.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/read_results.hpp"
#include "tracehold/exchange/result_splitter.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/read/listed_file.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold {
namespace {

constexpr std::size_t kBatch = std::size_t{8} << 20;  // bytes of results, or one that is larger; our choice: some hundred of them
constexpr std::size_t kLogEvery = 5000;  // results between two lines in a log

// Of a file, also behind standard input; 0 of what has no size before it is read.
std::uintmax_t size_of(const std::string& path) {
    std::error_code none;
    const std::uintmax_t size = std::filesystem::file_size(path == "-" ? "/dev/stdin" : path, none);
    return none ? 0 : size;
}

// "12000 results, 3 of 40 files, 210/s, 18 s left": so many results a second, and the time by the bytes that are left, where the
// size of every input is known.
class AuditProgress {
public:
    AuditProgress(const std::vector<std::string>& files, bool quiet)
        : files_(files.size()), bytes_(bytes_of(files)), on_terminal_(!quiet && is_terminal(2)), in_log_(!quiet && !is_terminal(2)) {}
    AuditProgress(const AuditProgress&) = delete;
    AuditProgress& operator=(const AuditProgress&) = delete;
    ~AuditProgress() { hide(); }

    void file_done() { ++files_done_; }
    void bytes_done(std::uintmax_t bytes) { bytes_done_ += bytes; }
    void result_done() {
        ++results_;
        if (in_log_ && results_ % kLogEvery == 0) say("tracehold: " + text());
    }
    void show() {
        if (!on_terminal_ || Clock::now() - shown_at_ < kRedraw) return;
        shown_at_ = Clock::now();
        visible_ = true;
        fmt::print(stderr, "\r{}\033[K", text());
    }
    void hide() {
        if (visible_) std::fputs("\r\033[K", stderr);
        visible_ = false;
    }

private:
    using Clock = std::chrono::steady_clock;
    static std::uintmax_t bytes_of(const std::vector<std::string>& files) {
        std::uintmax_t all = 0;
        for (const std::string& path : files) {
            const std::uintmax_t size = size_of(path);
            if (size == 0) return 0;
            all += size;
        }
        return all;
    }
    std::string text() const {
        std::string text = fmt::format("{} results, {} of {} files", results_, files_done_, files_);
        const double seconds = std::chrono::duration<double>(Clock::now() - begin_).count();
        if (results_ == 0 || seconds <= 0.0) return text;
        text += ", " + rate_text(static_cast<double>(results_) / seconds);
        if (bytes_done_ == 0 || bytes_done_ > bytes_) return text;
        const double left = static_cast<double>(bytes_ - bytes_done_) / static_cast<double>(bytes_done_);
        return text + fmt::format(", {} left", time_text(seconds * left));
    }

    std::size_t files_, files_done_ = 0, results_ = 0;
    std::uintmax_t bytes_, bytes_done_ = 0;
    bool on_terminal_, in_log_, visible_ = false;
    Clock::time_point begin_ = Clock::now(), shown_at_{};
};

struct Piece {
    ResultText result;
    std::string source;
};

struct TakenIn {
    std::optional<SessionScore> score;
    std::optional<Error> refused;
};

TakenIn read_piece(const Piece& piece) {
    const std::string line = fmt::format("line {}", piece.result.line);
    if (!piece.result.whole) {
        return {{},
                Error(ErrorKind::malformed, piece.source, line, "no whole result here",
                      "the line was cut off, or is something else; 'tracehold score --format ndjson' writes what is "
                      "read here")};
    }
    try {
        return {read_session_json(piece.result.text, piece.source), {}};
    } catch (const Error& error) {
        const bool pointer = error.place.starts_with('/');
        return {{},
                Error(error.kind, error.source, pointer ? line + ", " + error.place : line, error.message, error.hint)};
    }
}

class Intake {
public:
    Intake(const std::vector<std::string>& inputs, const Options& options, const Companions& companions, const Identity& identity)
        : options_(options),
          companions_(companions),
          identity_(identity),
          names_(options, inputs),
          index_(companions.sessions),
          progress_(inputs, options.quiet) {
        if (identity.level == IdentityLevel::pseudonym) key_ = identity;
        if (identity.level == IdentityLevel::keep && !options.key_file.empty()) key_ = pseudonymous(read_key(options.key_file));
        if (!key_.hides()) return;
        const Recordings recordings = recordings_below(options);
        taken_.all_used = recordings.all_read;
        for (const auto& [sha256, path] : recordings.by_sha256) by_keyed_hash_[shown_hash(key_, sha256)] = path;
    }

    void take_file(const std::string& path);
    AuditInputs finish();

private:
    void take_results(ByteSource& source, const std::string& path, std::string piece);
    void flush();
    const SessionEntry* entry_of(const SessionScore& score);
    std::optional<Error> namesake(const SessionScore& score);
    void keep(SessionScore score);
    void keep_or_say(TakenIn outcome);
    void say(const Error& refused);
    TakenIn score_recording_at(const std::string& path) const;
    TakenIn score_bytes(const std::string& bytes, const std::string& path) const;
    void tick() {
        stop_.check();
        progress_.show();
    }

    const Options& options_;
    const Companions& companions_;
    const Identity& identity_;
    MessageNames names_;
    SessionsIndex index_;
    AuditProgress progress_;
    StopSignal stop_;
    AuditInputs taken_;
    std::vector<Piece> batch_;
    std::size_t batch_bytes_ = 0;
    std::vector<std::string> recordings_;
    std::map<std::string, RecordingFacts> by_row_;       // of a row that names no folder, the recording that was first taken by it
    bool rows_known_ = true;                            // of every result, be it that it has none
    Identity key_;                                      // of results that are hidden already, where it was given
    std::map<std::string, std::string> by_keyed_hash_;  // recordings, with a key and their folder
};

// A file that cannot be opened is refused and counted; so is one that stops in the middle. A folder without any is refused,
// and no recording was lost with it.
void Intake::take_file(const std::string& path) {
    try {
        ByteSource source(path);
        std::string first = source.read(kSniffed);
        if (first.empty()) throw Error(ErrorKind::not_recognised, path, "", "the file is empty", "");
        if (looks_like_results(first)) {
            take_results(source, path, std::move(first));
        } else if (path == "-") {
            keep_or_say(score_bytes(source.whole_stream(std::move(first)), path));
        } else {
            recordings_.push_back(path);
            return;
        }
    } catch (const Error& error) {
        flush();
        std::error_code ignored;
        if (std::filesystem::is_directory(path, ignored)) {
            say(error);
        } else {
            keep_or_say({{}, error});
        }
    }
    progress_.file_done();
}

void Intake::take_results(ByteSource& source, const std::string& path, std::string piece) {
    refuse_list_of_results(piece, path);
    ResultSplitter splitter;
    std::vector<ResultText> results;
    const auto queue = [&] {
        for (ResultText& result : results) {
            batch_bytes_ += result.text.size();
            batch_.push_back({std::move(result), path});
            if (batch_bytes_ >= kBatch) flush();
        }
        results.clear();
    };
    for (; !piece.empty(); piece = source.read(kPiece)) {
        splitter.take(piece, results);
        queue();
        progress_.bytes_done(piece.size());
        tick();
    }
    splitter.finish(results);
    queue();
}

void Intake::flush() {
    const std::vector<Piece> batch = std::exchange(batch_, {});
    batch_bytes_ = 0;
    in_order(
        batch.size(), job_count(options_), [&](std::size_t i) { return read_piece(batch[i]); },
        [&](std::size_t, TakenIn outcome) {
            progress_.result_done();
            keep_or_say(std::move(outcome));
        },
        [&] { tick(); }, Caller::works);
}

// Its row of the list; that of a result under a pseudonym by its recording, which its keyed hash finds.
const SessionEntry* Intake::entry_of(const SessionScore& score) {
    if (score.settings.identity == IdentityLevel::keep) return index_.find(score.recording.source);
    const auto recording = by_keyed_hash_.find(score.recording.sha256);
    return recording == by_keyed_hash_.end() ? nullptr : index_.find(recording->second);
}

// Of which of two recordings of one name a row without a folder speaks nobody can tell. Out: where another one was taken before.
std::optional<Error> Intake::namesake(const SessionScore& score) {
    const RecordingFacts& facts = score.recording;
    const SessionEntry* entry = score.settings.identity == IdentityLevel::keep ? index_.find(facts.source) : nullptr;
    if (entry == nullptr || listed_as(entry->file, facts.source) != ListedAs::base_name) return std::nullopt;
    const auto& [file, first] = *by_row_.emplace(entry->file, facts).first;
    if (first.source == facts.source || first.sha256 == facts.sha256) return std::nullopt;
    return Error(ErrorKind::bad_setting, facts.source, "",
                 fmt::format("the sessions list speaks of '{}', and {} is called so too", shown(file), names_.name(first.source)),
                 "write the folder before the name in the list");
}

// What is a pseudonym already stays as it is, so that kept and hidden results of one key say the same.
void Intake::keep(SessionScore score) {
    add_files_of(score, identity_, taken_.files);
    const bool hidden = score.settings.identity != IdentityLevel::keep;
    const Identity& words = hidden ? key_ : identity_;
    const SessionEntry* entry = entry_of(score);
    if (!hidden && identity_.level == IdentityLevel::pseudonym) score.recording.sha256 = shown_hash(identity_, score.recording.sha256);
    if (entry != nullptr && !entry->site.empty()) {
        score.recording.site = shown_word(words, "site", entry->site);
    } else if (!hidden) {
        score.recording.site = shown_word(identity_, "site", score.recording.site);
    }
    if (entry == nullptr) {
        const bool known = !hidden || by_keyed_hash_.contains(score.recording.sha256);
        const bool pseudonymous = score.settings.identity == IdentityLevel::pseudonym;
        rows_known_ = rows_known_ && known;
        if (!known && pseudonymous && !companions_.sessions.empty()) taken_.tally.add_not_matched();
        return taken_.tally.add(score);
    }
    if (!entry->person.empty()) score.recording.person = hidden ? person_label(key_, entry->person) : entry->person;
    score.recording.start = start_of(*entry, score.recording.start);
    SessionContext context = context_of(*entry, options_.audit.column, options_.sessions);
    context.group = shown_word(words, "group", context.group);
    taken_.tally.add(score, context);
}

void Intake::keep_or_say(TakenIn outcome) {
    if (outcome.score) outcome.refused = namesake(*outcome.score);
    if (!outcome.refused) return keep(std::move(*outcome.score));
    say(*outcome.refused);
    taken_.tally.add_refused(outcome.refused->kind);
}

void Intake::say(const Error& refused) {
    progress_.hide();
    say_error(names_.shown(as_wanted(refused, Wanted::recordings_and_results)));
    taken_.all_used = false;
}

TakenIn Intake::score_bytes(const std::string& bytes, const std::string& path) const {
    try {
        Assignment assignment = assign_bytes(bytes, path, options_, companions_);
        const ScoreSettings settings = score_settings(options_, assignment.plan ? &*assignment.plan : nullptr);
        return {score_recording(std::move(assignment), settings).score, {}};
    } catch (const Error& error) {
        return {{}, error};
    }
}

TakenIn Intake::score_recording_at(const std::string& path) const {
    try {
        return score_bytes(read_input(path), path);
    } catch (const Error& error) {
        return {{}, error};
    }
}

AuditInputs Intake::finish() {
    flush();
    in_order(
        recordings_.size(), job_count(options_), [&](std::size_t i) { return score_recording_at(recordings_[i]); },
        [&](std::size_t i, TakenIn outcome) {
            progress_.file_done();
            progress_.bytes_done(size_of(recordings_[i]));
            progress_.result_done();
            keep_or_say(std::move(outcome));
        },
        [&] { tick(); });
    progress_.hide();
    if (!rows_known_) return std::move(taken_);  // those of hidden results cannot be told from those of nobody
    say_unused_rows(index_, options_);
    for (const SessionEntry& entry : companions_.sessions) {
        const std::string code = person_label(key_, entry.person);
        taken_.tally.add_listed(taken_.tally.people().contains(code) ? code : entry.person);
    }
    return std::move(taken_);
}

}  // namespace

Identity identity_of_audit(const Options& options) {
    const bool by_words = options.audit.by == Grouping::site || options.audit.by == Grouping::column;
    if (options.identity == IdentityLevel::pseudonym) return pseudonymous(read_key(options.key_file));
    if (options.identity == IdentityLevel::anonymous && by_words) {
        throw Error(ErrorKind::wrong_use, "", "", "groups have names: an anonymous audit cannot show them", "leave out --by, or ask for --identity pseudonym");
    }
    Identity identity;
    identity.level = options.identity;
    return identity;
}

AuditInputs read_audit_inputs(const std::vector<std::string>& inputs, const Options& options, const Companions& companions, const Identity& identity) {
    Intake intake(inputs, options, companions, identity);
    for (const std::string& path : inputs) intake.take_file(path);
    return intake.finish();
}

}  // namespace tracehold
