// Scores recordings, several at once, and writes what was asked for in the order in which they were named.
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <new>
#include <optional>

#include "app/byte_source.hpp"
#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/copies.hpp"
#include "app/dry_run.hpp"
#include "app/hidden_identities.hpp"
#include "app/in_order.hpp"
#include "app/inputs.hpp"
#include "app/message_names.hpp"
#include "app/output.hpp"
#include "app/pages.hpp"
#include "app/pipeline.hpp"
#include "app/progress.hpp"
#include "app/result_folder.hpp"
#include "app/shard.hpp"
#include "app/stop_signal.hpp"
#include "app/today.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/sha256.hpp"
#include "tracehold/exchange/write_fhir.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/read/listed_file.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/report/overview.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/render_html.hpp"

namespace tracehold {
namespace {

namespace fs = std::filesystem;

// What became of one recording: a score with what is written of it, or the reason why not, or neither: in another's shard, or a copy.
struct Outcome {
    std::optional<SessionScore> score;
    std::string name = {};           // of its files in a folder, without their endings
    std::vector<std::string> texts;  // one for each format; none where the folder has them already
    std::string told = {};           // in a dry run: what would be done
    std::optional<Error> refused;
    bool took_work = true;
    bool is_copy = false;            // of a recording that was scored: not scored again
    bool is_elsewhere = false;       // in another's shard
};

// What stands ahead of and behind all recordings of one file.
std::string session_opening(Format format, const Options& options) {
    if (format == Format::csv) return session_csv_header();
    return format == Format::fhir ? fhir_opening(fhir_settings(options)) : "";
}

std::string session_closing(Format format, const Options& options) {
    return format == Format::fhir ? fhir_closing(fhir_settings(options)) : "";
}

std::string rendered(const Scored& scored, Format format, const Options& options) {
    switch (format) {
        case Format::json: return session_json(scored.score);
        case Format::ndjson: return session_json(scored.score, 0);
        case Format::csv: return session_csv_rows(scored.score);
        case Format::md: return render_markdown(page_of(scored, options));
        case Format::html: return render_html(page_of(scored, options), page_style_of(options));
        case Format::fhir: return fhir_session(scored.score, fhir_settings(options));
        default: break;  // text
    }
    const bool on_terminal = options.out == "-" && is_terminal(STDOUT_FILENO);
    const TextStyle style{.pictures = on_terminal, .color = wants_color(options.color, on_terminal)};
    return render_text(page_of(scored, options), style);
}

// All recordings one after the other in one stream. As text, several recordings are a table for the clinician.
class Stream {
public:
    Stream(const Options& options, std::size_t count)
        : output_(options.out), closing_(session_closing(options.formats[0], options)), as_table_(options.formats[0] == Format::text && options.reader == Reader::clinician && count > 1) {
        output_.write(session_opening(options.formats[0], options));
    }
    void take(const Outcome& outcome) {
        if (as_table_) {
            if (outcome.score) rows_.push_back(overview_row(*outcome.score));
            if (outcome.refused) rows_.push_back(overview_row(*outcome.refused));
        }
        any_scored_ = any_scored_ || outcome.score;
        any_refused_ = any_refused_ || outcome.refused;
        for (const std::string& text : outcome.texts) output_.write(text);
    }
    bool wants_texts() const { return !as_table_; }
    // Where every recording was refused, a file that is there already stays: an empty one is no better than the last.
    void finish() {
        if (as_table_) output_.write(render_text(compose_overview(rows_)));
        output_.write(closing_);
        if (any_scored_ || !any_refused_ || as_table_) output_.finish();
    }

private:
    Output output_;
    std::string closing_;
    bool as_table_;
    bool any_scored_ = false, any_refused_ = false;
    std::vector<OverviewRow> rows_;
};

void check_output(const Options& options, const std::vector<std::string>& inputs) {
    if (options.formats.size() > 1) require_folder(options.out, kSeveralFiles);
    if (options.formats[0] == Format::html && inputs.size() > 1) {
        require_folder(options.out, "one file cannot hold the pages of several recordings");
    }
    if (options.resume) require_folder(options.out, "only results in a folder can be resumed");
}

std::string names_of(const std::vector<std::string>& inputs) {
    constexpr std::size_t kMost = 5;
    std::string names;
    for (std::size_t i = 0; i < std::min(kMost, inputs.size()); ++i) names += fmt::format("{}'{}'", i == 0 ? "" : ", ", shown(fs::path(inputs[i]).filename().string()));
    return inputs.size() > kMost ? fmt::format("{}, ... ({} in all)", names, inputs.size()) : names;
}

// A correction that fits no recording is a slip of the pen that would go unseen; where one recording alone is scored and has its
// own, the others are of other days.
bool all_corrections_used(const Companions& companions, const std::vector<std::string>& inputs, const MessageNames& names) {
    const auto of = [](const Correction& correction, const std::string& input) { return listed_as(correction.file, input) != ListedAs::another; };
    if (inputs.size() == 1 && std::any_of(companions.corrections.begin(), companions.corrections.end(),
                                          [&](const Correction& correction) { return of(correction, inputs[0]); })) return true;
    bool all_used = true;
    for (const Correction& correction : companions.corrections) {
        const auto fits = [&](const std::string& input) { return of(correction, input); };
        if (correction.file.empty() || std::any_of(inputs.begin(), inputs.end(), fits)) continue;
        const Error unused(ErrorKind::bad_setting, correction.list, std::to_string(correction.line),
                           fmt::format("a correction of '{}' for the file '{}' fits none of the recordings: saw {}", shown(correction.who),
                                       shown(correction.file), names_of(inputs)),
                           "name the file as it is called, or with its folder; an empty cell stands for every recording");
        say_error(names.shown(unused));
        all_used = false;
    }
    return all_used;
}

void report_notes(const Outcome& outcome, const Options& options, NotesOnce& notes) {
    if (outcome.refused) say_error(*outcome.refused);
    if (!outcome.score) return;
    const SessionScore& score = *outcome.score;
    if (!score.quality.usable) say_error(rejection(score));
    const bool shown_on_page =
        options.out == "-" && options.formats[0] == Format::text && options.reader == Reader::clinician;
    if (options.quiet || shown_on_page) return;
    for (const Note& note : score.notes) notes.say(score.recording.source, note);
}

// All that the work on one recording needs beside its name.
struct Batch {
    explicit Batch(const Options& asked) : options(asked), found(find_inputs(asked)), names(asked, found), inputs(found) {
        check_output(options, inputs);
        companions = read_companions(options);
        companions.namesakes = find_namesakes(companions, inputs);
        companions.identity = identity_for(options, inputs, companions);
        if (writes_folder(options.out)) {
            folder.emplace(options, inputs);
        } else if (options.dry_run) {
            check_place(options.out);
        } else {
            stream.emplace(options, inputs.size());
        }
        copies = find_copies(inputs, options, companions);
    }
    // Of two copies: where both have one name, be it hidden, or in a bundle of FHIR one id.
    bool scores_once(std::size_t i, std::size_t other) const {
        if (companions.identity.hides() || (!folder && options.formats[0] == Format::fhir)) return true;
        return base_name(inputs[i], {}, "") == base_name(inputs[other], {}, "");
    }
    bool is_elsewhere(std::string_view person, const std::string& path) const {
        return options.shard && !in_shard(*options.shard, shard_key(person, path));
    }

    const Options& options;
    std::vector<std::string> found;   // as they were named
    MessageNames names;
    std::vector<std::string> inputs;  // as they are worked on
    Companions companions;
    Copies copies;
    std::optional<ResultFolder> folder;
    std::optional<Stream> stream;  // the other of the two; neither is written to in a dry run
};

const Outcome kElsewhere{.took_work = false, .is_elsewhere = true};

Outcome tell_assigned(const std::string& path, const Assignment& assignment, const Batch& batch) {
    Outcome outcome;
    outcome.name = base_name(path, batch.companions.identity, assignment.recording.sha256);
    std::vector<std::string> paths;
    if (batch.folder) {
        const Recording& recording = assignment.recording;
        const RecordingFacts here{.sha256 = recording.sha256, .person = recording.person, .start = recording.start};
        if (const auto other = batch.folder->another_there(outcome.name, here, {})) throw *other;
        paths = batch.folder->paths_of(outcome.name);
    }
    outcome.told = recording_told(assignment) + outputs_told(paths);
    return outcome;
}

Outcome score_assigned(const std::string& path, Assignment assignment, const ScoreSettings& settings, const Batch& batch) {
    Outcome outcome;
    outcome.name = base_name(path, batch.companions.identity, assignment.recording.sha256);
    Scored scored = score_recording(std::move(assignment), settings);
    if (batch.folder || batch.stream->wants_texts()) {
        for (const Format format : batch.options.formats) {
            const std::string text = rendered(scored, format, batch.options);
            outcome.texts.push_back(batch.folder ? session_opening(format, batch.options) + text + session_closing(format, batch.options) : text);
        }
    }
    outcome.score = std::move(scored.score);
    return outcome;
}

Outcome score_file(const std::string& path, const Batch& batch) {
    Assignment assignment = prepare(path, batch.options, batch.companions);
    const std::string person = assignment.entry ? assignment.entry->person : "";
    if (!person.empty() && batch.is_elsewhere(person, path)) return kElsewhere;
    std::string bytes = read_input(path);
    const ScoreSettings settings = score_settings(batch.options, assignment.plan ? &*assignment.plan : nullptr);
    const bool person_known = !batch.companions.identity.hides() || !batch.options.shard;  // a hidden result does not tell whose shard it is in
    if (batch.options.resume && person_known) {
        if (auto score = batch.folder->kept(path, sha256_hex(bytes), assignment, settings)) {
            if (batch.is_elsewhere(score->recording.person, path)) return kElsewhere;
            const std::string told = fmt::format("{}: its results are there already\n", shown(score->recording.source, 400));
            return {.score = std::move(score), .told = told, .took_work = false};
        }
    }
    add_recording(assignment, bytes, path);
    std::string().swap(bytes);  // not held while the recording is scored
    if (batch.is_elsewhere(assignment.recording.person, path)) return kElsewhere;
    return batch.options.dry_run ? tell_assigned(path, assignment, batch) : score_assigned(path, std::move(assignment), settings, batch);
}

// A file that cannot be read has no person but perhaps one by the list: exactly one shard tells of it.
Outcome refusal(const Error& error, const std::string& path, const Batch& batch) {
    const SessionEntry* entry = find_entry(batch.companions.sessions, path);
    if (batch.is_elsewhere(entry != nullptr ? entry->person : "", path)) return kElsewhere;
    return {.refused = batch.names.shown(error)};
}

Error at_odds(const std::string& path, const std::string& other, const Batch& batch) {
    return Error(ErrorKind::bad_setting, path, "", fmt::format("holds the same bytes as {}, of which the sessions list or the corrections say something else", batch.names.name(other)),
                 "a recording has one result: mend the list, or leave one of the two out");
}

// What came through a pipe was not looked at before.
Error same_file(const std::string& path, const std::string& other, const Batch& batch) {
    return Error(ErrorKind::bad_setting, path, "", fmt::format("its result would be written to the same file as that of {}", batch.names.name(other)),
                 "is one a copy of the other? Score them into different folders");
}

// Out: nothing where the recording is to be scored.
std::optional<Outcome> unscored_copy(std::size_t i, const Batch& batch) {
    const std::string& path = batch.inputs[i];
    const auto odd = batch.copies.at_odds.find(i), same = batch.copies.same.find(i);
    if (odd != batch.copies.at_odds.end() && batch.scores_once(i, odd->second)) {
        return refusal(at_odds(path, batch.inputs[odd->second], batch), path, batch);
    }
    if (same == batch.copies.same.end() || !batch.scores_once(i, same->second)) return std::nullopt;
    const SessionEntry* entry = find_entry(batch.companions.sessions, path);
    if (batch.is_elsewhere(entry != nullptr ? entry->person : "", path)) return kElsewhere;
    return Outcome{.took_work = false, .is_copy = true};
}

Outcome outcome_of(std::size_t i, const Batch& batch) {
    const std::string& path = batch.inputs[i];
    try {
        if (std::optional<Outcome> unscored = unscored_copy(i, batch)) return std::move(*unscored);
        return score_file(path, batch);
    } catch (const Error& error) {
        return refusal(error, path, batch);
    } catch (const std::bad_alloc&) {
        return refusal(no_memory_for(path), path, batch);
    }
}

void say_copy(std::size_t i, const Batch& batch) {
    const auto same = batch.copies.same.find(i), odd = batch.copies.at_odds.find(i);
    if (same != batch.copies.same.end()) {
        batch.names.say(batch.inputs[i], {"copy", "", fmt::format("a copy of {}{}", batch.names.name(batch.inputs[same->second]), batch.scores_once(i, same->second) ? ": scored once" : "; courses and audits count it once")});
    } else if (odd != batch.copies.at_odds.end()) {
        batch.names.say(batch.inputs[i], {"copy_at_odds", "", at_odds(batch.inputs[i], batch.inputs[odd->second], batch).message});
    }
}

// Hidden, the name of its files is not known where it could not be read.
void say_older(const std::string& path, const Batch& batch) {
    if (batch.options.dry_run || batch.companions.identity.hides() || !batch.folder->has_older(base_name(path, {}, ""))) return;
    const std::string there = batch.folder->paths_of(base_name(path, {}, "")).front();
    batch.names.say(path, {"older_result", "", fmt::format("the result of an earlier run stays in the folder and is not of this recording as it is now: take '{}' away", shown(there, 400))});
}

void say_outdated(const std::string& path, const Outcome& outcome, const Batch& batch) {
    const std::vector<std::string> others = batch.folder->outdated(outcome.name, outcome.texts);
    if (others.empty()) return;
    std::string names;
    for (const std::string& other : others) names += fmt::format("{}'{}'", names.empty() ? "" : ", ", shown(other, 400));
    batch.names.say(path, {"outdated", "", fmt::format("its result says something else than that of an earlier run, of which {} {} in the folder", names, others.size() == 1 ? "stays" : "stay")});
}

std::string copies_told(std::size_t copies) {
    return copies == 0 ? "" : fmt::format(", {} {} of another", copies, copies == 1 ? "is a copy" : "are copies");
}

std::string elsewhere_told(std::size_t elsewhere) {
    return elsewhere == 0 ? "" : fmt::format(", {} {} to other parts", elsewhere, elsewhere == 1 ? "belongs" : "belong");
}

void say_end_of_dry_run(const Batch& batch, std::size_t told, std::size_t copies, std::size_t elsewhere) {
    const bool named = !batch.folder && !batch.companions.identity.hides();
    write_output("-", fmt::format("{}{} of {} recordings would be scored{}{}{}\n", named && told > 0 ? outputs_told({batch.options.out}) : "", told,
                                  batch.inputs.size(), copies_told(copies), elsewhere_told(elsewhere), told > 0 ? "; whether their signals can be, scoring tells" : ""));
}

// Out: whether all recordings were scored.
bool run_batch(Batch& batch) {
    const std::vector<std::string>& inputs = batch.inputs;
    bool all_scored = true;
    std::size_t taken = 0, told = 0, copies = 0, elsewhere = 0;
    std::map<std::string, std::string> owners;  // of the files in the folder
    Progress progress(inputs.size(), batch.options.quiet);
    const StopSignal stop;
    NotesOnce notes;
    const auto take = [&](std::size_t i, Outcome outcome) {
        if (batch.folder && !outcome.name.empty()) {
            const auto [owner, fresh] = owners.emplace(outcome.name, inputs[i]);
            if (!fresh) outcome = refusal(same_file(inputs[i], owner->second, batch), inputs[i], batch);
        }
        if (batch.folder && outcome.score && !outcome.texts.empty()) {
            if (const auto other = batch.folder->another_there(outcome.name, outcome.score->recording, outcome.texts)) outcome = refusal(*other, inputs[i], batch);
        } else if (batch.folder && outcome.refused && !owners.contains(base_name(inputs[i], {}, ""))) {
            say_older(inputs[i], batch);
        }
        progress.step(outcome.took_work);
        progress.hide();
        report_notes(outcome, batch.options, notes);
        if (outcome.is_copy || outcome.score || !outcome.told.empty()) say_copy(i, batch);
        copies += outcome.is_copy ? 1 : 0;
        elsewhere += outcome.is_elsewhere ? 1 : 0;
        all_scored = all_scored && !outcome.refused && (!outcome.score || outcome.score->quality.usable);
        if (batch.options.dry_run) write_output("-", outcome.told);
        told += !outcome.told.empty() && outcome.took_work ? 1 : 0;
        if (batch.stream) batch.stream->take(outcome);
        if (batch.folder && !outcome.texts.empty()) {
            say_outdated(inputs[i], outcome, batch);
            batch.folder->write(outcome.name, outcome.texts);
        }
        ++taken;
    };
    const auto tick = [&] {
        stop.check();
        progress.show();
    };
    try {
        in_order(inputs.size(), job_count(batch.options), [&](std::size_t i) { return outcome_of(i, batch); }, take, tick);
    } catch (const Stopped&) {
        progress.hide();
        if (batch.folder) batch.folder->finish();
        say(fmt::format("tracehold: stopped: {} of {} recordings are done{}", taken, inputs.size(),
                        batch.folder ? " and kept, the same call with --resume does the rest" : ""));
        throw;
    }
    notes.finish();
    if (batch.options.dry_run) {
        say_end_of_dry_run(batch, told, copies, elsewhere);
    } else if (batch.stream) {
        batch.stream->finish();
    } else {
        batch.folder->finish();
    }
    return all_scored;
}

}  // namespace

ExitStatus score_command(const Options& options) {
    Batch batch(options);
    say_unused_rows(batch.companions, batch.found, options);
    const bool all_used = all_corrections_used(batch.companions, batch.inputs, batch.names);
    return run_batch(batch) && all_used ? ExitStatus::done : ExitStatus::refused;
}

}  // namespace tracehold
