#include <filesystem>

#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/dry_run.hpp"
#include "app/hidden_identities.hpp"
#include "app/inputs.hpp"
#include "app/kept_files.hpp"
#include "app/output.hpp"
#include "app/pipeline.hpp"
#include "app/result_folder.hpp"
#include "tracehold/exchange/write_events.hpp"
#include "tracehold/exchange/write_recording.hpp"
#include "tracehold/identity/hide.hpp"

namespace tracehold {
namespace {

namespace fs = std::filesystem;

// One text for one file.
std::string exported(const Recording& recording, const Scored& scored, ExportFormat format) {
    switch (format) {
        case ExportFormat::events: return events_edf(scored.score);
        case ExportFormat::bids: return events_tsv(scored.score);
        case ExportFormat::csv:
            return trace_csv(recording.channels[scored.channel], scored.clean, scored.envelope, scored.score);
        default: return recording_edf(scored_recording(recording, scored.clean, scored.envelope, scored.score));
    }
}

// In a folder, the end of a file's name.
const char* ending(ExportFormat format) {
    switch (format) {
        case ExportFormat::events: return ".events.edf";
        case ExportFormat::csv: return ".scored.csv";
        default: return ".scored.edf";
    }
}

// The first of the two files of bids; the other is its description.
std::string output_path(const Options& options, const std::string& name, ExportFormat format) {
    if (!writes_folder(options.out)) return options.out;
    const std::string end = format == ExportFormat::bids ? "_events.tsv" : ending(format);
    return (fs::path(options.out) / (name + end)).string();
}

std::string description_path(const std::string& events) { return fs::path(events).replace_extension(".json").string(); }

// Errors: wrong_use where one of them is an input.
std::vector<std::string> output_paths(const Options& options, const std::string& name) {
    std::vector<std::string> paths;
    for (const ExportFormat format : options.exports) {
        paths.push_back(output_path(options, name, format));
        if (format == ExportFormat::bids) paths.push_back(description_path(paths.back()));
    }
    for (const std::string& path : paths) refuse_to_replace(path);
    return paths;
}

ExitStatus dry_run(const Assignment& assignment, const std::vector<std::string>& paths, const Options& options) {
    check_place(options.out);
    write_output("-", recording_told(assignment) + outputs_told(paths));
    return ExitStatus::done;
}

}  // namespace

ExitStatus export_command(const Options& options) {
    const std::string& path = options.inputs.at(0);
    if (path != "-" && is_folder_path(path)) throw Error(ErrorKind::wrong_use, path, "", "saw a folder, expected one recording", "call it once for each recording in it");
    const bool several = options.exports.size() > 1 || options.exports[0] == ExportFormat::bids;
    if (several) require_folder(options.out, kSeveralFiles);
    Companions companions = read_companions(options);
    say_unused_rows(companions, options.inputs, options);
    std::vector<std::string> inputs = options.inputs;
    companions.identity = identity_for(options, inputs, companions);
    Assignment assignment = assign(path, options, companions);
    const Recording recording = hide(assignment.recording, companions.identity);
    const std::string plain_name = path == "-" ? "standard-input" : with_room_for_ending(fs::path(path).stem().string());
    const std::string name = companions.identity.hides() ? recording.source : plain_name;
    const std::vector<std::string> paths = output_paths(options, name);
    if (options.dry_run) return dry_run(assignment, paths, options);
    const ScoreSettings settings = score_settings(options, assignment.plan ? &*assignment.plan : nullptr);
    const Scored scored = score_recording(std::move(assignment), settings);
    if (!options.quiet)
        for (const Note& note : scored.score.notes) say_note(scored.score.recording.source, note);
    if (writes_folder(options.out)) make_folder(options.out);
    for (const ExportFormat format : options.exports) {
        const std::string to = output_path(options, name, format);
        write_output(to, exported(recording, scored, format));
        if (format == ExportFormat::bids) write_output(description_path(to), events_description_json(scored.score));
    }
    if (scored.score.quality.usable) return ExitStatus::done;
    say_error(rejection(scored.score));
    return ExitStatus::refused;
}

}  // namespace tracehold
