// Commands that make plans, sheets, keys and practice recordings, or tell what the program knows.
#include "app/commands.hpp"
#include "app/shared_options.hpp"

namespace tracehold {
namespace {

Command plan_check() {
    return {.name = "check",
            .summary = "Check plans: is each well formed, and does it make sense?",
            .footer = "Example:\n  tracehold plan check plan.jsonc",
            .own_options = [] { return OptionList{inputs("Plan files")}; },
            .run = plan_check_command};
}

Command plan_threshold() {
    return {
        .name = "threshold",
        .summary = "Derive a plan's threshold from contractions as hard as possible",
        .footer =
            "Example:\n  tracehold plan threshold reference.edf --plan plan.jsonc --percent 50 --out plan-new.jsonc",
        .own_options =
            [] {
                Option plan = plan_file("The plan that gets the threshold");
                plan.required = true;
                return OptionList{input("The recording of the reference contractions"),
                                  plan,
                                  file("--performed", &Options::performed_plan,
                                       "The plan of the reference contractions, if there was one"),
                                  number("--percent", "%", {1, 100}, &Options::percent,
                                         "Of the best second (default 50: common practice)"),
                                  channel(),
                                  word("-o,--out", "<FILE>", &Options::out,
                                       "Where the copy of the plan goes; without it nothing is written")};
            },
        .run = plan_threshold_command};
}

Command plan_sheet() {
    return {.name = "sheet",
            .summary = "Print the home sheet of a plan",
            .footer =
                "Example:\n  tracehold plan sheet plan.jsonc > sheet.txt\n"
                "  tracehold plan sheet plan.jsonc --language de --format html --out sheet.html",
            .own_options =
                [] {
                    return OptionList{input("A plan file"),
                                      format({{"text", Format::text}, {"md", Format::md}, {"html", Format::html}}),
                                      output_file(), language(), paper()};
                },
            .run = plan_sheet_command};
}

Command plan() {
    return {.name = "plan",
            .summary = "Check a plan, derive its threshold, print its home sheet",
            .footer =
                "There is no --identity: pages and messages show the names in the files that they are given.\n\n"
                "Example:\n  tracehold plan check plan.jsonc",
            .commands = {plan_check(), plan_threshold(), plan_sheet()}};
}

Command key() {
    Command fresh{
        .name = "new",
        .summary = "Make a new key, random, readable by its owner alone",
        .footer =
            "Without FILE: tracehold/clinic.key in the folder of your settings ($XDG_CONFIG_HOME, or "
            "~/.config), where\n"
            "--identity pseudonym looks for it.\n\nExample:\n  tracehold key new",
        .own_options =
            [] { return OptionList{word("FILE", "", &Options::key_file, "Where the key goes; never overwritten")}; },
        .run = key_new_command};
    return {.name = "key",
            .summary = "The clinic's key for pseudonyms",
            .footer = "Example:\n  tracehold key new clinic.key",
            .commands = {fresh}};
}

Command explain() {
    return {
        .name = "explain",
        .summary = "Definition, unit, edges and source of a measure, or of a word that its pages use",
        .footer = "Example:\n  tracehold explain release_s",
        .own_options =
            [] {
                return OptionList{word("MEASURE", "", &Options::name, "Key of a measure or word, or 'rules'; without one, all are listed")};
            },
        .run = explain_command};
}

Command schema() {
    return {
        .name = "schema",
        .summary = "Print the JSON Schemas, table schemas and FHIR codes of what it reads and writes",
        .footer = "Example:\n  tracehold schema session",
        .own_options =
            [] {
                return OptionList{word("NAME", "", &Options::name, "Name of a schema; without one, all are listed")};
            },
        .run = schema_command};
}

Command simulate() {
    return {.name = "simulate",
            .summary = "Make practice recordings with known truth from a scenario file",
            .footer =
                "A file that is there already is never replaced by another. There is no --identity: recordings, truths "
                "and\n"
                "messages show the names in the files that it is given.\n\n"
                "Example:\n  tracehold simulate scenario.json --plan plan.jsonc --out week/",
            .own_options =
                [] {
                    Option plan = plan_file("The plan that is performed");
                    plan.required = true;
                    Option folder =
                        word("-o,--out", "<FOLDER>", &Options::out, "The folder for recordings and their truth");
                    folder.required = true;
                    return OptionList{
                        inputs("Scenario files"), plan, folder,
                        whole("--seed", 0, kNoEnd, &Options::seed,
                              "Other seeds than the scenarios' own: N for the first, N + 1000003 for the next ...")};
                },
            .run = simulate_command};
}

Command selfcheck() {
    return {.name = "selfcheck",
            .summary = "Check this installation against built-in truth and published values",
            .footer = "Example:\n  tracehold selfcheck --format md --out validation.md",
            .own_options =
                [] {
                    return OptionList{format({{"text", Format::text}, {"md", Format::md}, {"json", Format::json}}),
                                      output_file()};
                },
            .run = selfcheck_command};
}

}  // namespace

std::vector<Command> commands_that_make() { return {plan(), key(), explain(), schema(), simulate(), selfcheck()}; }

}  // namespace tracehold
