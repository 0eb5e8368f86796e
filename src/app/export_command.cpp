#include <filesystem>

#include "app/commands.hpp"
#include "app/console.hpp"
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

void write_bids(const SessionScore& score, const std::string& base) {
    write_output(base + "_events.tsv", events_tsv(score));
    write_output(base + "_events.json", events_description_json(score));
}

[[noreturn]] void refuse_one_place(const std::string& out) {
    throw Error(ErrorKind::bad_setting, out, "--out", "several files for one place: saw a file name, expected a folder",
                "end it with '/'");
}

}  // namespace

ExitStatus export_command(const Options& options) {
    const std::string& path = options.inputs.at(0);
    const bool folder = options.out != "-" && is_folder_path(options.out);
    const bool several = options.exports.size() > 1 || options.exports[0] == ExportFormat::bids;
    if (several && !folder) refuse_one_place(options.out);
    keep_input(path, options.out);
    Companions companions = read_companions(options);
    std::vector<std::string> inputs = options.inputs;
    companions.identity = identity_for(options, inputs, companions);
    const Assignment assignment = assign(path, options, companions);
    const Plan* plan = assignment.plan ? &*assignment.plan : nullptr;
    const Scored scored = score_recording(assignment, score_settings(options, plan));
    if (!options.quiet)
        for (const Note& note : scored.score.notes) say_note(scored.score.recording.source, note);
    if (folder) make_folder(options.out);
    const Recording recording = hide(assignment.recording, companions.identity);
    const std::string plain_name = path == "-" ? "standard-input" : fs::path(path).stem().string();
    const std::string name = companions.identity.hides() ? recording.source : plain_name;
    const std::string base = (fs::path(options.out) / name).string();
    for (const ExportFormat format : options.exports) {
        if (format == ExportFormat::bids)
            write_bids(scored.score, base);
        else
            write_output(folder ? base + ending(format) : options.out, exported(recording, scored, format));
    }
    return ExitStatus::done;
}

}  // namespace tracehold
