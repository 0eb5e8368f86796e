// Scores recordings, several at once, and writes what was asked for in the order in which they were named.
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <set>

#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/in_order.hpp"
#include "app/inputs.hpp"
#include "app/output.hpp"
#include "app/pipeline.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/report/compose_session_report.hpp"
#include "tracehold/report/overview.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/render_html.hpp"

namespace tracehold {
namespace {

namespace fs = std::filesystem;

// What became of one recording: a score, or the reason why not.
struct Outcome {
    std::optional<Scored> scored;
    std::optional<Error> refused;
};

Outcome score_file(const std::string& path, const Options& options, const Companions& companions) {
    try {
        const Assignment assignment = assign(path, options, companions);
        const Plan* plan = assignment.plan ? &*assignment.plan : nullptr;
        return {score_recording(assignment, score_settings(options, plan)), std::nullopt};
    } catch (const Error& error) {
        return {std::nullopt, error};
    }
}

Report page_of(const Scored& scored) {
    return compose_session_report(scored.score, &scored.envelope, scored.spectrum ? &*scored.spectrum : nullptr);
}

std::string rendered(const Scored& scored, Format format, const Options& options) {
    switch (format) {
        case Format::json: return session_json(scored.score);
        case Format::ndjson: return session_json(scored.score, 0);
        case Format::csv: return session_csv_rows(scored.score);
        case Format::md: return render_markdown(page_of(scored));
        case Format::html: return render_html(page_of(scored));
        case Format::text: break;
    }
    const bool on_terminal = options.out == "-" && is_terminal(STDOUT_FILENO);
    const TextStyle style{.pictures = on_terminal, .color = on_terminal && wants_color(options.no_color)};
    return render_text(page_of(scored), style);
}

std::string name_of(Format format) {
    switch (format) {
        case Format::text: return "txt";
        case Format::json: return "json";
        case Format::ndjson: return "ndjson";
        case Format::csv: return "measures.csv";  // never taken for a recording: see find_inputs
        case Format::md: return "md";
        case Format::html: return "html";
    }
    return "";
}

std::string page_path(const std::string& folder, const std::string& input, Format format) {
    const std::string name = input == "-" ? "standard-input" : fs::path(input).filename().string();
    return (fs::path(folder) / (name + "." + name_of(format))).string();
}

// A file for each recording and format.
class Folder {
public:
    Folder(const Options& options, const std::vector<std::string>& inputs) : options_(options) {
        std::map<std::string, std::string> owners;
        for (const std::string& input : inputs) {
            const auto [owner, fresh] = owners.emplace(page_path(options.out, input, Format::json), input);
            if (!fresh) {
                throw Error(ErrorKind::bad_setting, options.out, "",
                            fmt::format("{} and {} would be written to the same file", owner->second, input),
                            "score them into different folders");
            }
        }
        make_folder(options.out);
    }
    void take(const std::string& input, const Scored& scored) {
        for (const Format format : options_.formats) {
            const std::string header = format == Format::csv ? session_csv_header() : "";
            write_output(page_path(options_.out, input, format), header + rendered(scored, format, options_));
        }
    }

private:
    const Options& options_;
};

// All recordings one after the other in one stream. As text, several recordings are a table.
class Stream {
public:
    Stream(const Options& options, std::size_t count) : options_(options), format_(options.formats[0]), output_(options.out) {
        as_table_ = format_ == Format::text && count > 1;
        if (format_ == Format::csv) output_.write(session_csv_header());
    }
    void take(const Outcome& outcome) {
        if (as_table_) {
            rows_.push_back(outcome.scored ? overview_row(outcome.scored->score) : overview_row(*outcome.refused));
        } else if (outcome.scored) {
            output_.write(rendered(*outcome.scored, format_, options_));
        }
    }
    void finish() {
        if (as_table_) output_.write(render_text(compose_overview(rows_)));
        output_.finish();
    }

private:
    const Options& options_;
    Format format_;
    Output output_;
    bool as_table_ = false;
    std::vector<OverviewRow> rows_;
};

void check_output(const Options& options, const std::vector<std::string>& inputs) {
    const bool folder = options.out != "-" && is_folder_path(options.out);
    if (options.formats.size() > 1 && !folder) {
        throw Error(ErrorKind::bad_setting, options.out, "", "several formats need a folder to be written to",
                    "add --out FOLDER/ or ask for one format");
    }
    if (options.formats[0] == Format::html && inputs.size() > 1 && !folder) {
        throw Error(ErrorKind::bad_setting, options.out, "", "one file cannot hold the pages of several recordings", "add --out FOLDER/");
    }
    for (const std::string& input : inputs) {
        std::error_code ignored;
        if (fs::equivalent(input, options.out, ignored) && !folder) {
            throw Error(ErrorKind::bad_setting, options.out, "", "the output would replace an input", "choose another --out");
        }
    }
}

// A recording that was read but cannot be scored, as an error for the console.
Error rejection(const SessionScore& score) {
    const auto& findings = score.quality.findings;
    const auto why = std::find_if(findings.begin(), findings.end(), [](const Finding& finding) { return finding.severity == Severity::reject; });
    return Error(ErrorKind::unsupported, score.recording.source, "signal",
                 "cannot be scored: " + (why != findings.end() ? why->text : std::string("the signal was rejected")));
}

// A correction that fits no recording is a slip of the pen that would go unseen.
bool all_corrections_used(const Companions& companions, const std::vector<std::string>& inputs) {
    bool all_used = true;
    for (const Correction& correction : companions.corrections) {
        const auto fits = [&](const std::string& input) { return fs::path(input).filename() == correction.file; };
        if (correction.file.empty() || std::any_of(inputs.begin(), inputs.end(), fits)) continue;
        say(fmt::format("tracehold: error: a correction of {} for the file '{}' fits none of the recordings", shown(correction.who), shown(correction.file)));
        all_used = false;
    }
    return all_used;
}

void report_notes(const Outcome& outcome, const Options& options) {
    if (outcome.refused) say_error(*outcome.refused);
    if (outcome.scored && !outcome.scored->score.quality.usable) say_error(rejection(outcome.scored->score));
    const bool shown_on_page = options.out == "-" && options.formats[0] == Format::text;
    if (options.quiet || shown_on_page || !outcome.scored) return;
    for (const Note& note : outcome.scored->score.notes) say_note(outcome.scored->score.recording.source, note);
}

}  // namespace

ExitStatus score_command(const Options& options) {
    const std::vector<std::string> inputs = find_inputs(options);
    check_output(options, inputs);
    const Companions companions = read_companions(options);
    std::optional<Folder> folder;
    std::optional<Stream> stream;
    if (options.out != "-" && is_folder_path(options.out)) {
        folder.emplace(options, inputs);
    } else {
        stream.emplace(options, inputs.size());
    }

    bool all_scored = all_corrections_used(companions, inputs);
    Progress progress(inputs.size(), options.quiet);
    in_order(
        inputs.size(), job_count(options), [&](std::size_t i) { return score_file(inputs[i], options, companions); },
        [&](std::size_t i, Outcome outcome) {
            progress.step();
            report_notes(outcome, options);
            all_scored = all_scored && outcome.scored && outcome.scored->score.quality.usable;
            if (folder && outcome.scored) folder->take(inputs[i], *outcome.scored);
            if (stream) stream->take(outcome);
        });
    if (stream) stream->finish();
    return all_scored ? ExitStatus::done : ExitStatus::refused;
}

}  // namespace tracehold
