#include <filesystem>

#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/dry_run.hpp"
#include "app/hidden_identities.hpp"
#include "app/inputs.hpp"
#include "app/output.hpp"
#include "app/pipeline.hpp"
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

bool writes_folder(const Options& options) { return options.out != "-" && is_folder_path(options.out); }

// The first of the two files of bids; the other is its description.
std::string output_path(const Options& options, const std::string& name, ExportFormat format) {
    if (!writes_folder(options)) return options.out;
    const std::string end = format == ExportFormat::bids ? "_events.tsv" : ending(format);
    return (fs::path(options.out) / (name + end)).string();
}

std::string description_path(const std::string& events) { return fs::path(events).replace_extension(".json").string(); }

ExitStatus dry_run(const Assignment& assignment, const std::string& name, const Options& options) {
    check_place(options.out);
    std::vector<std::string> paths;
    for (const ExportFormat format : options.exports) {
        paths.push_back(output_path(options, name, format));
        if (format == ExportFormat::bids) paths.push_back(description_path(paths.back()));
    }
    write_output("-", recording_told(assignment) + outputs_told(paths));
    return ExitStatus::done;
}

[[noreturn]] void refuse_one_place(const std::string& out) {
    throw Error(ErrorKind::bad_setting, out, "--out", "several files for one place: saw a file name, expected a folder",
                "end it with '/'");
}

}  // namespace

ExitStatus export_command(const Options& options) {
    const std::string& path = options.inputs.at(0);
    const bool several = options.exports.size() > 1 || options.exports[0] == ExportFormat::bids;
    if (several && !writes_folder(options)) refuse_one_place(options.out);
    keep_input(path, options.out);
    Companions companions = read_companions(options);
    std::vector<std::string> inputs = options.inputs;
    companions.identity = identity_for(options, inputs, companions);
    const Assignment assignment = assign(path, options, companions);
    const Recording recording = hide(assignment.recording, companions.identity);
    const std::string plain_name = path == "-" ? "standard-input" : fs::path(path).stem().string();
    const std::string name = companions.identity.hides() ? recording.source : plain_name;
    if (options.dry_run) return dry_run(assignment, name, options);
    const Plan* plan = assignment.plan ? &*assignment.plan : nullptr;
    const Scored scored = score_recording(assignment, score_settings(options, plan));
    if (!options.quiet)
        for (const Note& note : scored.score.notes) say_note(scored.score.recording.source, note);
    if (writes_folder(options)) make_folder(options.out);
    for (const ExportFormat format : options.exports) {
        const std::string to = output_path(options, name, format);
        write_output(to, exported(recording, scored, format));
        if (format == ExportFormat::bids) write_output(description_path(to), events_description_json(scored.score));
    }
    return ExitStatus::done;
}

}  // namespace tracehold
