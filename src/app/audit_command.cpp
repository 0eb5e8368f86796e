// A service over many people, from results of 'score', from recordings, or from both.
#include <filesystem>
#include <memory>

#include "app/audit_inputs.hpp"
#include "app/commands.hpp"
#include "app/console.hpp"
#include "app/dry_run.hpp"
#include "app/files_told.hpp"
#include "app/inputs.hpp"
#include "app/message_names.hpp"
#include "app/output.hpp"
#include "app/sessions_index.hpp"
#include "app/today.hpp"
#include "tracehold/audit/audit_service.hpp"
#include "tracehold/audit/hide_audit.hpp"
#include "tracehold/course/chart_course.hpp"
#include "tracehold/exchange/write_audit.hpp"
#include "tracehold/report/compose_audit_report.hpp"
#include "tracehold/report/render.hpp"
#include "tracehold/report/render_html.hpp"

namespace tracehold {
namespace {

std::string rendered(const Audit& audit, const MadeWith& made_with, Format format, const Options& options) {
    switch (format) {
        case Format::json: return audit_json(audit, 2, made_with);
        case Format::ndjson: return audit_json(audit, 0, made_with);
        case Format::csv: return audit_csv(audit);
        case Format::md: return render_markdown(compose_audit_report(audit));
        case Format::html: return render_html(compose_audit_report(audit), {.paper = options.paper});
        default: break;
    }
    const bool on_terminal = options.out == "-" && is_terminal(1);
    return render_text(compose_audit_report(audit), {.color = wants_color(options.color, on_terminal)});
}

std::string name_of(Format format) {
    switch (format) {
        case Format::json: return "audit.json";
        case Format::ndjson: return "audit.ndjson";
        case Format::csv: return "audit.measures.csv";  // never taken for a recording: see find_inputs
        case Format::md: return "audit.md";
        case Format::html: return "audit.html";
        default: return "audit.txt";
    }
}

// Errors: wrong_use.
std::vector<std::string> output_paths(const Options& options) {
    if (options.formats.size() > 1) require_folder(options.out, kSeveralFiles);
    if (!writes_folder(options.out)) return {options.out};
    std::vector<std::string> paths;
    for (const Format format : options.formats) paths.push_back((std::filesystem::path(options.out) / name_of(format)).string());
    return paths;
}

}  // namespace

ExitStatus audit_command(const Options& options) {
    check_audit_settings(options.audit);
    Companions companions = read_companions(options);
    if (options.audit.by == Grouping::column) {
        if (const auto wrong = wrong_column(companions.sessions, options.audit.column, options.sessions)) {
            say_error(MessageNames(options).shown(*wrong));
            return ExitStatus::wrong_use;
        }
    }
    if (options.dry_run) return dry_run_of_all(options, Wanted::recordings_and_results, output_paths(options));
    const std::vector<std::string> inputs = find_inputs(options, Wanted::recordings_and_results);
    companions.namesakes = find_namesakes(companions, inputs);
    const Identity identity = identity_of_audit(options);
    const std::vector<std::string> paths = output_paths(options);
    if (writes_folder(options.out)) make_folder(options.out);
    std::vector<std::unique_ptr<Output>> outputs;  // opened before the long work: what cannot be written is known at once
    outputs.reserve(paths.size());
    for (const std::string& path : paths) outputs.push_back(std::make_unique<Output>(path));
    AuditInputs taken = read_audit_inputs(inputs, options, companions, identity);
    AuditSettings settings = options.audit;
    settings.today = today(options.quiet);
    const ChartPerson chart = [&](std::span<const SessionScore> scores, const CountedWeeks& weeks) {
        return chart_course(
            scores, {.rules = std::vector<Rule>{}, .today = settings.today, .count_until = weeks.until, .count_from = weeks.from, .before = weeks.before});
    };
    const Audit audit = hide(audit_service(taken.tally, settings, chart), identity);
    taken.files.sessions = companions.sessions_sha256;
    const MadeWith made_with = files_told(taken.files, identity, settings.audience == Audience::others ? ToldTo::others : ToldTo::team);
    if (!options.quiet && options.formats[0] != Format::text) {
        for (const Note& note : audit.notes) say_note("audit", note);
    }
    for (std::size_t i = 0; i < outputs.size(); ++i) {
        outputs[i]->write(rendered(audit, made_with, options.formats[i], options));
        outputs[i]->finish();
    }
    return taken.all_used ? ExitStatus::done : ExitStatus::refused;
}

}  // namespace tracehold
