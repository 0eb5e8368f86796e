// The command line, by CLI11. Numbers and lists are read by own strict converters: the library's take 'nan', '' and octal.
#include "app/command_line.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <array>
#include <utility>
#include <vector>

#include "app/commands.hpp"
#include "app/pages.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/identity/hide.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold {
namespace {

template <class Value>
using Choices = std::vector<std::pair<std::string, Value>>;

struct Range {
    double low, high;
};

// Refuses whatever is no decimal number inside the range.
template <class Target>  // double, or one that may be empty
CLI::Option* add_number(CLI::App* app, const std::string& name, Target& target, const std::string& unit, Range range,
                        const std::string& text) {
    const auto read = [&target, range, name, unit](const std::string& word) {
        const auto value = parse_number(word);
        if (!value || *value < range.low || *value > range.high) {
            throw CLI::ValidationError(name, fmt::format("saw '{}', expected a number from {} to {} ({})", shown(word), range.low,
                                                         range.high, unit));
        }
        target = *value;
    };
    return app->add_option_function<std::string>(name, read, text)->option_text(fmt::format("<{}>", unit));
}

template <class Value>
Value choose(const Choices<Value>& choices, const std::string& name, const std::string& word) {
    std::vector<std::string_view> names;
    std::string list;
    for (const auto& [choice, value] : choices) {
        if (CLI::detail::to_lower(word) == CLI::detail::to_lower(choice)) return value;
        names.push_back(choice);
        list += (list.empty() ? "" : ", ") + choice;
    }
    throw CLI::ValidationError(name, fmt::format("saw '{}', expected one of {}{}", shown(word), list, did_you_mean(word, names)));
}

template <class Value>
std::string names_of(const Choices<Value>& choices) {
    std::string list;
    for (const auto& [choice, value] : choices) list += (list.empty() ? "" : "|") + choice;
    return list;
}

template <class Value, class Target>
void add_choice(CLI::App* app, const std::string& name, Target& target, const Choices<Value>& choices, const std::string& text) {
    const auto read = [&target, choices, name](const std::string& word) { target = choose(choices, name, word); };
    app->add_option_function<std::string>(name, read, text)->option_text(names_of(choices));
}

const Choices<Format> kFormats = {
    {"text", Format::text}, {"json", Format::json}, {"ndjson", Format::ndjson}, {"csv", Format::csv}, {"md", Format::md},
    {"html", Format::html}};

template <class Value>
void add_formats(CLI::App* app, std::vector<Value>& asked, const Choices<Value>& formats) {
    const auto read = [&asked, formats](const std::vector<std::string>& words) {
        for (const std::string& word : words) asked.push_back(choose(formats, "--format", word));
    };
    app->add_option_function<std::vector<std::string>>("-f,--format", read, "What to write; may be given several times")
        ->option_text(names_of(formats))
        ->allow_extra_args(false);
}

void add_formats(CLI::App* app, Options& options, const Choices<Format>& formats) { add_formats(app, options.formats, formats); }

void add_fhir_form(CLI::App* app, Options& options) {
    const Choices<FhirForm> forms = {{"collection", FhirForm::collection}, {"transaction", FhirForm::transaction}, {"ndjson", FhirForm::ndjson}};
    const auto read = [&options, forms](const std::string& word) { options.fhir = choose(forms, "--fhir-as", word); };
    app->add_option_function<std::string>("--fhir-as", read, "Shape of --format fhir (default collection)")->option_text(names_of(forms));
}

void add_inputs(CLI::App* app, Options& options, const std::string& text) {
    app->add_option("INPUT", options.inputs, text)->required()->option_text(" ");
}

void add_console_options(CLI::App* app, Options& options) {
    app->add_flag("-q,--quiet", options.quiet, "No notes and no progress on standard error");
    app->add_flag("--no-color", options.no_color, "No colour (also: the variable NO_COLOR)");
}

void add_reading_options(CLI::App* app, Options& options) {
    add_number(app, "--rate", options.rate_hz, "Hz", {0.1, 1e6}, "Sampling rate of a CSV file without a time column")->group("Reading");
    const Choices<std::string> units = {{"uV", "uV"}, {"mV", "mV"}, {"V", "V"}};
    const auto read_unit = [&options, units](const std::string& word) { options.unit = choose(units, "--unit", word); };
    app->add_option_function<std::string>("--unit", read_unit, "Unit of the values, whatever the file says")
        ->option_text(names_of(units))
        ->group("Reading");
    const Choices<ChannelKind> kinds = {{"raw", ChannelKind::raw}, {"envelope", ChannelKind::envelope}};
    const auto read_kind = [&options, kinds](const std::string& word) { options.kind = choose(kinds, "--kind", word); };
    app->add_option_function<std::string>("--kind", read_kind, "Raw trace or exported amplitude, whatever it looks like")
        ->option_text(names_of(kinds))
        ->group("Reading");
}

void add_jobs(CLI::App* app, Options& options) {
    const auto read = [&options](const std::string& word) {
        const auto value = parse_whole(word);
        if (!value || *value < 1 || *value > 1024) {
            throw CLI::ValidationError("--jobs", fmt::format("saw '{}', expected a whole number from 1 to 1024", shown(word)));
        }
        options.jobs = static_cast<unsigned>(*value);
    };
    app->add_option_function<std::string>("-j,--jobs", read, "Recordings at once (default: one per core)")->option_text("<N>");
}

// Work on many files: which, how many at once, and which part of them.
void add_batch(CLI::App* app, Options& options) {
    const auto read = [app, &options](const std::string& word) {
        options.files_from = word;
        app->get_option("INPUT")->required(false);
    };
    app->add_option_function<std::string>("--files-from", read, "A file that names inputs, one a line (or ended by NUL); '-' is standard input")
        ->option_text("<FILE>");
    add_jobs(app, options);
}

void add_shard(CLI::App* app, Options& options) {
    const auto read = [&options](const std::string& word) {
        const auto slash = word.find('/');
        const auto part = parse_whole(word.substr(0, slash));
        const auto parts = slash == std::string::npos ? std::nullopt : parse_whole(word.substr(slash + 1));
        if (!part || !parts || *part < 1 || *part > *parts || *parts > 100000) {
            throw CLI::ValidationError("--shard", fmt::format("saw '{}', expected K/N with K from 1 to N", shown(word)));
        }
        options.shard = Shard{static_cast<unsigned>(*part), static_cast<unsigned>(*parts)};
    };
    app->add_option_function<std::string>("--shard", read, "Only the people of part K of N: the same ones on every machine")
        ->option_text("<K/N>");
}

void add_language(CLI::App* app, Options& options) {
    const Choices<Language> languages = {{"en", Language::en}, {"de", Language::de}, {"fr", Language::fr}};
    add_choice(app, "--language", options.language, languages, "Of the page (default en; de and fr were not reviewed by a clinician)");
}

void add_reader(CLI::App* app, Options& options) {
    const Choices<Reader> readers = {{"clinician", Reader::clinician}, {"patient", Reader::patient}, {"referrer", Reader::referrer}};
    add_choice(app, "--for", options.reader, readers, "Whom the page is for (default clinician); JSON and CSV are the same for all");
    add_language(app, options);
    app->add_flag("--with-microvolts", options.with_microvolts, "The patient's page: with amplitudes in µV");
}

void refuse_page(const Options& options) {
    const std::string what = refused_page(options);
    if (!what.empty()) throw CLI::ValidationError(what);
}

void add_out(CLI::App* app, Options& options) {
    app->add_option("-o,--out", options.out, "A file, or a folder (it exists, or the name ends in '/'); '-' is standard output")
        ->option_text("<PATH>");
}

void add_identity(CLI::App* app, Options& options) {
    const Choices<IdentityLevel> levels = {
        {"keep", IdentityLevel::keep}, {"pseudonym", IdentityLevel::pseudonym}, {"anonymous", IdentityLevel::anonymous}};
    const auto read = [&options, levels](const std::string& word) { options.identity = choose(levels, "--identity", word); };
    app->add_option_function<std::string>("--identity", read, "What outputs and messages may tell of who it is (default keep)")
        ->option_text(names_of(levels))
        ->group("Identity");
    app->add_option("--key-file", options.key_file, "The clinic's key for pseudonyms, made by 'key new'")->option_text("<FILE>")->group("Identity");
}

// What is said of recordings beside their own bytes.
void add_companions(CLI::App* app, Options& options) {
    app->add_option("-p,--plan", options.plan, "The plan that was prescribed")->option_text("<FILE>");
    app->add_option("--sessions", options.sessions, "A CSV list: file, person, start, posture, plan, channel, site")->option_text("<FILE>");
    app->add_option("--corrections", options.corrections, "A CSV list of a clinician's corrections")->option_text("<FILE>");
    app->add_option("-c,--channel", options.channel, "Channel to score, by label or number")->option_text("<NAME|N>");
    app->add_option("--accessory", options.accessory, "Accessory channel (abdominal ...), by label or number")->option_text("<NAME|N>");
    add_number(app, "--start", options.start_s, "s", {0, 1e6}, "When the plan starts in the recording");
}

void add_processing(CLI::App* app, Options& options) {
    const Choices<MainsRemoval> mains = {
        {"50", MainsRemoval::hz50}, {"60", MainsRemoval::hz60}, {"off", MainsRemoval::off}, {"auto", MainsRemoval::automatic}};
    const auto read_mains = [&options, mains](const std::string& word) { options.mains = choose(mains, "--mains", word); };
    app->add_option_function<std::string>("--mains", read_mains, "Remove mains hum where it is found")
        ->option_text(names_of(mains))
        ->group("Processing");
    const Choices<EnvelopeMethod> methods = {{"rms", EnvelopeMethod::moving_rms}, {"rectified", EnvelopeMethod::rectified}};
    const auto read_method = [&options, methods](const std::string& word) { options.envelope = choose(methods, "--envelope", word); };
    app->add_option_function<std::string>("--envelope", read_method, "How the amplitude is followed (default rms)")
        ->option_text(names_of(methods))
        ->group("Processing");
    app->add_flag("--subtract-noise", options.subtract_noise, "Subtract the noise floor, in power")->group("Processing");
    app->add_flag("--subtract-baseline", options.subtract_baseline, "Exported amplitudes: subtract the running baseline")
        ->group("Processing");
}

void add_score(CLI::App& root, Options& options, CommandLine& line) {
    CLI::App* app = root.add_subcommand("score", "Score each recording against its plan");
    app->footer("Example:\n  tracehold score --plan plan.jsonc week/\n  tracehold score --plan plan.jsonc --format md monday.edf > monday.md");
    add_inputs(app, options, "Recordings (CSV, EDF, EDF+, BDF, BDF+), folders of them, or '-'");
    add_companions(app, options);
    Choices<Format> formats = kFormats;
    formats.emplace_back("fhir", Format::fhir);
    add_formats(app, options, formats);
    add_fhir_form(app, options);
    add_out(app, options);
    app->add_flag("--resume", options.resume, "Leave recordings whose results in the folder are what scoring them again would write");
    add_batch(app, options);
    add_shard(app, options);
    add_reading_options(app, options);
    add_processing(app, options);
    add_identity(app, options);
    add_console_options(app, options);
    add_reader(app, options);
    app->callback([&line] {
        refuse_page(line.options);
        line.command = score_command;
    });
}

void add_course(CLI::App& root, Options& options, CommandLine& line) {
    CLI::App* app = root.add_subcommand("course", "Follow one person over weeks: done, changed beyond measurement error, what to ask");
    app->footer("Example:\n  tracehold course --plan plan.jsonc --sessions sessions.csv recordings/\n"
                "  tracehold score --plan plan.jsonc recordings/ --format ndjson | tracehold course -");
    add_inputs(app, options, "Recordings, results of 'score', folders of them, or '-'");
    app->add_option("-p,--plan", options.plan, "The plan that was prescribed")->option_text("<FILE>");
    app->add_option("--sessions", options.sessions, "A CSV list: file, person, start, posture, plan, channel, site")->option_text("<FILE>");
    app->add_option("--corrections", options.corrections, "A CSV list of a clinician's corrections")->option_text("<FILE>");
    app->add_option("--person", options.person, "Whose course, where the input holds several people")->option_text("<CODE>");
    app->add_flag("--by-person", options.by_person, "One course for each person");
    app->add_option("--rules", options.rules, "A table of questions instead of the built-in one (JSON)")->option_text("<FILE>");
    app->add_option("-c,--channel", options.channel, "Channel to score, by label or number")->option_text("<NAME|N>");
    add_formats(app, options, kFormats);
    add_out(app, options);
    add_batch(app, options);
    add_reading_options(app, options);
    add_identity(app, options);
    add_console_options(app, options);
    add_reader(app, options);
    app->callback([&line] {
        refuse_page(line.options);
        line.command = course_command;
    });
}

void add_date(CLI::App* app, const std::string& name, std::optional<std::chrono::sys_days>& target, const std::string& text) {
    const auto read = [&target, name](const std::string& word) {
        const auto time = parse_civil_time(word);
        if (!time) throw CLI::ValidationError(name, fmt::format("saw '{}', expected a date like 2026-03-02", shown(word)));
        target = std::chrono::floor<std::chrono::days>(time->local);
    };
    app->add_option_function<std::string>(name, read, text)->option_text("<DATE>");
}

// What an audit is about and how it is judged.
void add_audit_questions(CLI::App* app, AuditSettings& audit) {
    const auto read_by = [&audit](const std::string& word) {
        audit.by = word == "month" ? Grouping::month : word == "site" ? Grouping::site : Grouping::column;
        audit.column = audit.by == Grouping::column ? word : "";
    };
    app->add_option_function<std::string>("--by", read_by, "Groups side by side; COLUMN is one of the sessions list")
        ->option_text("month|site|COLUMN");
    add_choice<Audience>(app, "--for", audit.audience, {{"team", Audience::team}, {"public", Audience::others}},
                         "Who reads it (default team); for public, small counts and what gives them away are hidden");
    const auto read_cell = [&audit](const std::string& word) {
        const auto value = parse_whole(word);
        if (!value || *value < 2 || *value > 1000) {
            throw CLI::ValidationError("--min-cell", fmt::format("saw '{}', expected a whole number from 2 to 1000", shown(word)));
        }
        audit.min_cell = static_cast<std::size_t>(*value);
    };
    app->add_option_function<std::string>("--min-cell", read_cell, "The smallest count that public may see (default 5)")->option_text("<N>");
    add_date(app, "--from", audit.from, "First day that counts");
    add_date(app, "--to", audit.to, "Last day that counts");
    add_number(app, "--adherence-target", audit.adherence_at_least_pct, "%", {1, 1000}, "Sessions held of those prescribed, at least (default 80)");
    add_number(app, "--rest-target", audit.rest_below_uv, "uV", {0.01, 1000}, "Resting activity below this, whatever the plans say");
    add_number(app, "--review-target", audit.review_within_days, "d", {1, 3650}, "Reviewed within so many days of the first recording");
    add_choice<XmrRules>(app, "--chart-rules", audit.xmr.rules,
                         {{"western_electric", XmrRules::western_electric}, {"shewhart", XmrRules::shewhart}},
                         "What counts as a signal on XmR charts (default western_electric)");
    const auto read_baseline = [&audit](const std::string& word) {
        const auto value = parse_whole(word);
        if (!value || *value < 2 || *value > 1000) {
            throw CLI::ValidationError("--baseline", fmt::format("saw '{}', expected a whole number from 2 to 1000", shown(word)));
        }
        audit.xmr.baseline = static_cast<std::size_t>(*value);
    };
    app->add_option_function<std::string>("--baseline", read_baseline, "Limits of XmR charts from the first N months only")->option_text("<N>");
}

void add_audit(CLI::App& root, Options& options, CommandLine& line) {
    CLI::App* app = root.add_subcommand("audit", "Look at a service: many people, many months");
    app->footer("Example:\n  tracehold audit results/ --by site --format html --out audit.html\n"
                "  tracehold audit results/ --by site --for public --format html --out public.html");
    add_inputs(app, options, "Results of 'score', recordings, folders of them, or '-'");
    app->add_option("-p,--plan", options.plan, "The plan of recordings that are not scored yet")->option_text("<FILE>");
    app->add_option("--sessions", options.sessions, "A CSV list: file, person, start, posture, plan, channel, site; reviewed, and your own")
        ->option_text("<FILE>");
    add_audit_questions(app, options.audit);
    add_formats(app, options, kFormats);
    add_out(app, options);
    add_batch(app, options);
    add_reading_options(app, options);
    add_identity(app, options);
    add_console_options(app, options);
    app->callback([&line] { line.command = audit_command; });
}

void add_inspect(CLI::App& root, Options& options, CommandLine& line) {
    CLI::App* app = root.add_subcommand("inspect", "Show what a recording holds and whether it can be trusted; score nothing");
    app->footer("Example:\n  tracehold inspect monday.edf");
    add_inputs(app, options, "Recordings, folders of them, or '-'");
    add_formats(app, options, {{"text", Format::text}, {"json", Format::json}, {"ndjson", Format::ndjson}, {"md", Format::md}});
    add_out(app, options);
    add_batch(app, options);
    add_reading_options(app, options);
    add_identity(app, options);
    add_console_options(app, options);
    app->callback([&line] { line.command = inspect_command; });
}

void add_export(CLI::App& root, Options& options, CommandLine& line) {
    CLI::App* app = root.add_subcommand("export", "Cleaned trace, envelope and scored events for other programs");
    app->footer("edf is a copy of the recording with the cleaned trace, the envelope and the events; events is EDF+ without a\n"
                "signal; csv has a row a sample; bids is a pair of files, for which --out names a folder.\n\n"
                "Example:\n  tracehold export monday.edf --plan plan.jsonc --format edf --out monday.scored.edf");
    app->add_option("FILE", options.inputs, "A recording")->required()->expected(1)->option_text(" ");
    add_companions(app, options);
    add_reading_options(app, options);
    add_processing(app, options);
    const Choices<ExportFormat> formats = {
        {"edf", ExportFormat::edf}, {"events", ExportFormat::events}, {"csv", ExportFormat::csv}, {"bids", ExportFormat::bids}};
    add_formats(app, options.exports, formats);
    add_out(app, options);
    add_identity(app, options);
    add_console_options(app, options);
    app->callback([&options, &line] {
        if (options.exports.empty()) options.exports.push_back(ExportFormat::edf);
        line.command = export_command;
    });
}

void add_verify(CLI::App& root, Options& options, CommandLine& line) {
    CLI::App* app = root.add_subcommand("verify", "Score again from the recordings and compare with results, field by field");
    app->footer("Example:\n  tracehold verify results/\n  tracehold verify monday.json --recordings week/");
    add_inputs(app, options, "Results of 'score' (.json, .ndjson), folders of them, or '-'");
    app->add_option("--recordings", options.recordings, "Where the recordings are now, if not where the results say")->option_text("<FOLDER>");
    app->add_option("-p,--plan", options.plan, "Where the plan is now")->option_text("<FILE>");
    app->add_option("--corrections", options.corrections, "Where the corrections are now")->option_text("<FILE>");
    add_number(app, "--tolerance", options.tolerance, "relative", {0, 1}, "Largest relative difference of two numbers that counts as none (default 0)");
    add_batch(app, options);
    add_console_options(app, options);
    app->callback([&line] { line.command = verify_command; });
}

void add_plan_threshold(CLI::App* plan, Options& options, CommandLine& line) {
    CLI::App* app = plan->add_subcommand("threshold", "Derive a plan's threshold from contractions as hard as possible");
    app->footer("Example:\n  tracehold plan threshold reference.edf --plan plan.jsonc --percent 50 --out plan-new.jsonc");
    add_inputs(app, options, "The recording of the reference contractions");
    app->add_option("-p,--plan", options.plan, "The plan that gets the threshold")->option_text("<FILE>")->required();
    app->add_option("--performed", options.performed_plan, "The plan of the reference contractions, if there was one")->option_text("<FILE>");
    add_number(app, "--percent", options.percent, "%", {1, 100}, "Of the best second (default 50: common practice)");
    app->add_option("-c,--channel", options.channel, "Channel, by label or number")->option_text("<NAME|N>");
    app->add_option("-o,--out", options.out, "Where the copy of the plan goes; without it nothing is written")->option_text("<FILE>");
    app->callback([&line] { line.command = plan_threshold_command; });
}

void add_plan(CLI::App& root, Options& options, CommandLine& line) {
    CLI::App* app = root.add_subcommand("plan", "Work with plan files");
    app->require_subcommand(1);
    CLI::App* check = app->add_subcommand("check", "Check plans: is each well formed, and does it make sense?");
    check->footer("Example:\n  tracehold plan check plan.jsonc");
    add_inputs(check, options, "Plan files");
    check->callback([&line] { line.command = plan_check_command; });
    add_plan_threshold(app, options, line);
    CLI::App* sheet = app->add_subcommand("sheet", "Print the home sheet of a plan");
    sheet->footer("Example:\n  tracehold plan sheet plan.jsonc > sheet.txt");
    add_inputs(sheet, options, "A plan file");
    add_formats(sheet, options, {{"text", Format::text}, {"md", Format::md}, {"html", Format::html}});
    add_out(sheet, options);
    add_language(sheet, options);
    sheet->callback([&line] { line.command = plan_sheet_command; });
}

void add_key(CLI::App& root, Options& options, CommandLine& line) {
    CLI::App* app = root.add_subcommand("key", "The clinic's key for pseudonyms");
    app->require_subcommand(1);
    CLI::App* fresh = app->add_subcommand("new", "Make a new key, random, readable by its owner alone");
    fresh->footer("Without FILE: tracehold/clinic.key in the folder of your settings ($XDG_CONFIG_HOME, or ~/.config), where\n"
                  "--identity pseudonym looks for it.\n\nExample:\n  tracehold key new");
    fresh->add_option("FILE", options.key_file, "Where the key goes; never overwritten")->option_text(" ");
    fresh->callback([&line] { line.command = key_new_command; });
}

void add_explain(CLI::App& root, Options& options, CommandLine& line) {
    CLI::App* app = root.add_subcommand("explain", "Definition, unit, edges and source of any number it prints");
    app->footer("Example:\n  tracehold explain release_s");
    app->add_option("MEASURE", options.name, "Key of a measure; without one, all are listed")->option_text(" ");
    app->callback([&line] { line.command = explain_command; });
}

void add_schema(CLI::App& root, Options& options, CommandLine& line) {
    CLI::App* app = root.add_subcommand("schema", "Print the JSON Schemas, table schemas and FHIR codes of what it reads and writes");
    app->footer("Example:\n  tracehold schema session");
    app->add_option("NAME", options.name, "Name of a schema; without one, all are listed")->option_text(" ");
    app->callback([&line] { line.command = schema_command; });
}

void add_selfcheck(CLI::App& root, Options& options, CommandLine& line) {
    CLI::App* app = root.add_subcommand("selfcheck", "Check this installation against built-in truth and published values");
    app->footer("Example:\n  tracehold selfcheck --format md --out validation.md");
    add_formats(app, options, {{"text", Format::text}, {"md", Format::md}, {"json", Format::json}});
    add_out(app, options);
    app->callback([&line] { line.command = selfcheck_command; });
}

void add_simulate(CLI::App& root, Options& options, CommandLine& line) {
    CLI::App* app = root.add_subcommand("simulate", "Make practice recordings with known truth from a scenario file");
    app->footer("Example:\n  tracehold simulate scenario.json --plan plan.jsonc --out week/");
    add_inputs(app, options, "Scenario files");
    app->add_option("-p,--plan", options.plan, "The plan that is performed")->option_text("<FILE>")->required();
    app->add_option("-o,--out", options.out, "The folder for recordings and their truth")->option_text("<FOLDER>")->required();
    const auto read_seed = [&options](const std::string& word) {
        const auto value = parse_whole(word);
        if (!value || *value < 0) {
            throw CLI::ValidationError("--seed", fmt::format("saw '{}', expected a whole number from 0", shown(word)));
        }
        options.seed = static_cast<std::uint64_t>(*value);
    };
    app->add_option_function<std::string>("--seed", read_seed, "Other seeds than the scenarios' own: N for the first, N + 1 for the next ...")->option_text("<N>");
    app->callback([&line] { line.command = simulate_command; });
}

// The words that could have been meant where 'word' stands: commands, or options of the command in use.
std::vector<std::string> known_words(const CLI::App& root, std::string_view word) {
    std::vector<std::string> words;
    const CLI::App* app = &root;
    while (!app->get_subcommands().empty()) app = app->get_subcommands().front();
    if (word.starts_with("-")) {
        for (const CLI::Option* option : app->get_options()) {
            for (const std::string& name : option->get_lnames()) words.push_back("--" + name);
        }
    } else {
        for (const CLI::App* sub : app->get_subcommands([](const CLI::App*) { return true; })) words.push_back(sub->get_name());
    }
    return words;
}

std::string first_stranger(const CLI::App& root, int argc, char** argv) {
    const std::vector<std::string> left = root.remaining(true);
    for (int i = 1; i < argc; ++i) {
        const std::string word = argv[i];
        const std::string name = word.substr(0, word.find('='));
        for (const std::string& stranger : left) {
            if (stranger == word || stranger == name) return name;
        }
    }
    return left.empty() ? "" : left.front();
}

std::string command_in_use(const CLI::App& root) {
    std::string name{kName};
    for (const CLI::App* app = &root; !app->get_subcommands().empty();) {
        app = app->get_subcommands().front();
        name += " " + app->get_name();
    }
    return name;
}

// Also where the line was not understood to its end.
bool asks_to_hide(int argc, char** argv) {
    for (int i = 1; i < argc; ++i) {
        const std::string_view word = argv[i];
        if (word.starts_with("--identity=")) return word != "--identity=keep";
        if (word == "--identity") return i + 1 == argc || std::string_view(argv[i + 1]) != "keep";
    }
    return false;
}

std::string complaint(const CLI::App& root, const CLI::ParseError& error, int argc, char** argv) {
    std::string what = error.what();
    const std::string stranger = first_stranger(root, argc, argv);
    if (!stranger.empty()) {
        const auto words = known_words(root, stranger);
        const std::vector<std::string_view> names(words.begin(), words.end());
        const char* kind = stranger.starts_with("-") ? "option" : root.get_subcommands().empty() ? "command" : "argument";
        what = fmt::format("unknown {} '{}'{}", kind, shown(stranger), did_you_mean(stranger, names));
    } else if (root.get_subcommands().empty()) {
        what = "a command is needed";
    }
    if (asks_to_hide(argc, argv) && !stranger.starts_with("-")) what = hide_quoted(what, IdentityLevel::anonymous);  // it may be a file's name
    return fmt::format("tracehold: {}\nTry '{} --help'.\n", what, command_in_use(root));
}

}  // namespace

void add_commands(CLI::App& root, CommandLine& line) {
    root.name(std::string(kName));
    root.description("Scores contraction sessions of the pelvic floor from surface-EMG recordings.");
    root.footer("Example:\n  tracehold score --plan plan.jsonc week/\n\n"
                "Exit status: 0 all done; 1 some input was refused or could not be scored; 2 wrong use;\n"
                "3 an output could not be written; 70 a fault of the program.");
    root.set_version_flag("--version", fmt::format("{} {}\nmeasures {}", kName, kVersion, kMeasuresVersion), "Show the version");
    root.set_help_flag("-h,--help", "Show this help");
    root.require_subcommand(1);
    root.get_formatter()->column_width(34);

    add_inspect(root, line.options, line);
    add_score(root, line.options, line);
    add_course(root, line.options, line);
    add_audit(root, line.options, line);
    add_export(root, line.options, line);
    add_verify(root, line.options, line);
    add_plan(root, line.options, line);
    add_key(root, line.options, line);
    add_explain(root, line.options, line);
    add_schema(root, line.options, line);
    add_simulate(root, line.options, line);
    add_selfcheck(root, line.options, line);
}

CommandLine read_command_line(int argc, char** argv) {
    CommandLine line;
    CLI::App root;
    add_commands(root, line);
    try {
        root.allow_extras();
        root.parse(argc, argv);
        if (!root.remaining(true).empty()) throw CLI::ExtrasError(root.remaining(true));
    } catch (const CLI::CallForHelp&) {
        const CLI::App* app = &root;
        std::string parents;
        while (!app->get_subcommands().empty()) {
            parents += (parents.empty() ? "" : " ") + app->get_name();
            app = app->get_subcommands().front();
        }
        return {{}, {}, app->help(parents), ExitStatus::done};
    } catch (const CLI::CallForVersion& version) {
        return {{}, {}, std::string(version.what()) + "\n", ExitStatus::done};
    } catch (const CLI::ParseError& error) {
        return {{}, {}, complaint(root, error, argc, argv), ExitStatus::wrong_use};
    }
    if (line.options.formats.empty()) line.options.formats.push_back(Format::text);
    return line;
}

}  // namespace tracehold
