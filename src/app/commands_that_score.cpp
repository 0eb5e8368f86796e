// Commands that read recordings, or what 'score' wrote of them.
#include <algorithm>

#include "app/commands.hpp"
#include "app/shared_options.hpp"

namespace tracehold {
namespace {

Option shard() {
    Option option = option_named("--shard", "<K/N>", "Only the people of part K of N: the same ones on every machine");
    option.read = [](Options& options, const std::string& word) {
        const auto slash = std::min(word.find('/'), word.size());
        const auto part = parse_whole(word.substr(0, slash));
        const auto parts = parse_whole(word.substr(std::min(slash + 1, word.size())));
        if (!part || !parts || *part < 1 || *part > *parts || *parts > 100000) {
            return fmt::format("saw '{}', expected K/N with K from 1 to N", shown(word));
        }
        options.shard = Shard{static_cast<unsigned>(*part), static_cast<unsigned>(*parts)};
        return std::string();
    };
    return option;
}

Choices<Format> with_fhir(Choices<Format> choices) {
    choices.emplace_back("fhir", Format::fhir);
    return choices;
}

Choices<Format> with_weeks(Choices<Format> choices) {
    choices.emplace_back("weeks", Format::weeks);
    return choices;
}

Option fhir_form() {
    const Choices<FhirForm> forms = {
        {"collection", FhirForm::collection}, {"transaction", FhirForm::transaction}, {"ndjson", FhirForm::ndjson}};
    return of_format(Format::fhir, choice("--fhir-as", forms, &Options::fhir, "Shape of --format fhir (default collection)"));
}

Command inspect() {
    return {.name = "inspect",
            .summary = "Show what a recording holds and whether it can be trusted; score nothing",
            .footer = "Example:\n  tracehold inspect monday.edf",
            .own_options =
                [] {
                    return joined({{inputs("Recordings, folders of them, or '-'"),
                                    format({{"text", Format::text},
                                            {"json", Format::json},
                                            {"ndjson", Format::ndjson},
                                            {"md", Format::md},
                                            {"html", Format::html}}),
                                    output_file(), paper()},
                                   batch(),
                                   reading(),
                                   identity(),
                                   console()});
                },
            .run = inspect_command};
}

Command score() {
    return {
        .name = "score",
        .summary = "Score each recording against its plan",
        .footer =
            "Several recordings as text are one table; as html, or in several formats, they need a folder.\n"
            "Without cue marks or --start the plan is fitted to the trace; without a plan the contractions are\n"
            "found from the trace alone. A copy of a recording under another name is told; with hidden names, and in\n"
            "one FHIR bundle, it is scored once.\n\n"
            "Example:\n  tracehold score --plan plan.jsonc week/\n"
            "  tracehold score --plan plan.jsonc --format md monday.edf > monday.md\n"
            "  tracehold score --plan plan.jsonc --format html --format json --out results/ week/",
        .own_options =
            [] {
                return joined({{inputs("Recordings (CSV, EDF, EDF+, BDF, BDF+), folders of them, or '-'")},
                               companions(),
                               {formats(with_fhir(page_and_data_formats())), fhir_form(), output(),
                                flag("--resume", &Options::resume,
                                     "Go on where a run was cut short: results in the folder that are up to date stay"),
                                dry_run()},
                               batch(),
                               {shard()},
                               page_for_a_reader(),
                               reading(),
                               processing(),
                               identity(),
                               console()});
            },
        .run = score_command};
}

Command course() {
    return {
        .name = "course",
        .summary = "Follow one person over weeks: done, changed beyond measurement error, what to ask",
        .footer =
            "Example:\n  tracehold course --plan plan.jsonc --sessions sessions.csv recordings/\n"
            "  tracehold score --plan plan.jsonc recordings/ --format ndjson | tracehold course -",
        .own_options =
            [] {
                return joined(
                    {{inputs("Recordings, results of 'score', folders of them, or '-'"),
                      plan_file("The plan that was prescribed"), sessions_list(), corrections_list(), channel(),
                      word("--person", "<CODE>", &Options::person,
                           "Whose course, where the input holds several people"),
                      flag("--by-person", &Options::by_person,
                           "One course for each person; with --out FOLDER/ in a file each"),
                      file("--rules", &Options::rules,
                           "A table of questions instead of the built-in one (JSON; 'explain rules' prints that)"),
                      format(with_fhir(with_weeks(page_and_data_formats()))), fhir_form(), output_file(), dry_run()},
                     batch(),
                     page_for_a_reader(),
                     reading(),
                     identity(),
                     console()});
            },
        .run = course_command};
}

Option groups() {
    Option option =
        option_named("--by", "month|site|COLUMN", "Groups side by side; COLUMN is one of the sessions list");
    option.read = [](Options& options, const std::string& word) {
        AuditSettings& audit = options.audit;
        audit.by = word == "month" ? Grouping::month : word == "site" ? Grouping::site : Grouping::column;
        audit.column = audit.by == Grouping::column ? word : "";
        return refused_if_empty(word);
    };
    return option;
}

// What an audit is about and how it is judged.
OptionList audit_questions() {
    const Choices<Audience> readers = {{"team", Audience::team}, {"public", Audience::others}};
    const Choices<XmrRules> rules = {{"western_electric", XmrRules::western_electric},
                                     {"shewhart", XmrRules::shewhart}};
    const auto of = [](auto AuditSettings::*member) {
        return [member](Options & options) -> auto& { return options.audit.*member; };
    };
    const auto of_chart = [](auto XmrSettings::*member) {
        return [member](Options & options) -> auto& { return options.audit.xmr.*member; };
    };
    Option min_cell = whole("--min-cell", 2, 1000, of(&AuditSettings::min_cell),
                            "The smallest count that public may see (default 5); with --for public");
    min_cell.refused = [](const Options& options) {
        const bool nothing_hidden = options.audit.audience == Audience::team;
        return nothing_hidden ? "--min-cell hides small counts from the public, and nothing is hidden from the team: add --for public" : "";
    };
    return {groups(),
            choice("--for", readers, of(&AuditSettings::audience),
                   "Who reads it (default team); for public, small counts and what gives them away are hidden"),
            min_cell,
            day("--from", of(&AuditSettings::from), "First day that counts"),
            day("--to", of(&AuditSettings::to), "Last day that counts"),
            number("--adherence-target", "%", {1, 1000}, of(&AuditSettings::adherence_at_least_pct),
                   "Sessions held of those prescribed, at least (default 80)"),
            number("--rest-target", "uV", {0.01, 1000}, of(&AuditSettings::rest_below_uv),
                   "Resting activity below this, whatever the plans say"),
            number("--review-target", "days", {1, 3650}, of(&AuditSettings::review_within_days),
                   "Reviewed within so many days of the first recording"),
            choice("--chart-rules", rules, of_chart(&XmrSettings::rules),
                   "What counts as a signal on XmR charts (default western_electric)"),
            whole("--baseline", 2, 1000, of_chart(&XmrSettings::baseline),
                  "Limits of XmR charts from the first N months only")};
}

// With a list of sessions the key finds the rows of results that have pseudonyms, whatever the audit itself hides.
OptionList identity_of_audits() {
    OptionList options = identity();
    options.back().text += "; with --sessions it finds the rows of results with pseudonyms too";
    options.back().refused = [](const Options& given) {
        const bool finds_rows = given.identity == IdentityLevel::keep && !given.sessions.empty();
        return finds_rows || given.identity == IdentityLevel::pseudonym
                   ? ""
                   : "--key-file makes pseudonyms, or finds the rows of them: add --identity pseudonym, or --sessions FILE where names are kept";
    };
    return options;
}

Command audit() {
    return {.name = "audit",
            .summary = "Look at a service: many people, many months",
            .footer =
                "Example:\n  tracehold audit results/ --by site --format html --out audit.html\n"
                "  tracehold audit results/ --by site --for public --format html --out public.html",
            .own_options =
                [] {
                    Option sessions = sessions_list();
                    sessions.text += "; reviewed (a date), and columns of your own";
                    return joined({{inputs("Results of 'score', recordings, folders of them, or '-'"),
                                    plan_file("The plan of recordings that are not scored yet"), sessions,
                                    word("--recordings", "<FOLDER>", &Options::recordings,
                                         "Where the recordings of results with pseudonyms are: with the key their rows "
                                         "of the list are found")},
                                   audit_questions(),
                                   {formats(page_and_data_formats()), output(), paper(), dry_run()},
                                   batch(),
                                   reading(),
                                   identity_of_audits(),
                                   console()});
                },
            .run = audit_command};
}

Command export_() {
    return {.name = "export",
            .summary = "Cleaned trace, envelope and scored events for other programs",
            .footer =
                "edf is a copy of the recording with the cleaned trace, the envelope and the events; events is EDF+ "
                "without a\n"
                "signal; csv has a row a sample; bids is a pair of files, for which --out names a folder.\n\n"
                "Example:\n  tracehold export monday.edf --plan plan.jsonc --format edf --out monday.scored.edf",
            .own_options =
                [] {
                    const Choices<ExportFormat> written = {{"edf", ExportFormat::edf},
                                                           {"events", ExportFormat::events},
                                                           {"csv", ExportFormat::csv},
                                                           {"bids", ExportFormat::bids}};
                    Option recording = word(
                        "FILE", "", [](Options & options) -> auto& { return options.inputs.emplace_back(); },
                        "A recording, or '-'");
                    recording.required = true;
                    recording.is_read = true;
                    return joined({{recording},
                                   companions(),
                                   {any_choices("-f,--format", written, &Options::exports,
                                                "What to write (default edf); several need a folder"),
                                    output(), dry_run()},
                                   reading(),
                                   processing(),
                                   identity(),
                                   console()});
                },
            .run = export_command};
}

Command verify() {
    return {.name = "verify",
            .summary = "Score again from the recordings and compare with results, field by field",
            .footer =
                "A result that has corrections, or something of a sessions list, is not verified without that list: "
                "its numbers are\n"
                "compared with what it says itself, and the last line counts it apart.\n\n"
                "Example:\n  tracehold verify results/\n  tracehold verify monday.json --recordings week/",
            .own_options =
                [] {
                    return joined(
                        {{inputs("Results of 'score' (.json, .ndjson, .jsonl), folders of them, or '-'"),
                          word("--recordings", "<FOLDER>", &Options::recordings,
                               "Where the recordings are now, if not where the results say"),
                          plan_file("Where the plan is now"),
                          file("--corrections", &Options::corrections, "Where the corrections are now"),
                          file("--sessions", &Options::sessions,
                               "Where the sessions list is: person, start, posture and site are compared with it"),
                          file("--key-file", &Options::key_file, "The key of results with pseudonyms"),
                          number("--tolerance", "relative", {0, 1}, &Options::tolerance,
                                 "Largest relative difference of two numbers that counts as none (default 0)")},
                         batch(),
                         console()});
                },
            .run = verify_command};
}

}  // namespace

std::vector<Command> commands_that_score() { return {inspect(), score(), course(), audit(), export_(), verify()}; }

}  // namespace tracehold
