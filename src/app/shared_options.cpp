#include "app/shared_options.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <utility>

namespace tracehold {
namespace {

OptionList under(const char* group, OptionList options) {
    for (Option& option : options) option.group = group;
    return options;
}

constexpr const char* kWhatToWrite = "What to write (default text)";

// No page is ever half in another language.
std::string refused_language(const Options& options) {
    if (options.language == Language::en || options.reader != Reader::clinician) return "";
    return fmt::format("--language {}: the clinician's page is there in English only; --for patient and --for referrer are there in en, de, fr",
                       to_string(options.language));
}

}  // namespace

OptionList joined(std::initializer_list<OptionList> lists) {
    OptionList all;
    for (const OptionList& list : lists) all.insert(all.end(), list.begin(), list.end());
    return all;
}

Option inputs(std::string text) {
    Option option = words("INPUT", "", &Options::inputs, std::move(text));
    option.required = true;
    option.is_read = true;
    return option;
}

Option input(std::string text) {
    Option option = inputs(std::move(text));
    option.repeatable = false;
    return option;
}

Option plan_file(std::string text) { return file("-p,--plan", &Options::plan, std::move(text)); }

Option sessions_list() {
    return file("--sessions", &Options::sessions,
                "A CSV list: file, person, start, posture, plan, channel, site");
}

Option corrections_list() {
    return file("--corrections", &Options::corrections, "A CSV list of a clinician's corrections");
}

Option channel() { return word("-c,--channel", "<NAME|N>", &Options::channel, "Channel to score, by label or number"); }

Option format(const Choices<Format>& choices) {
    const auto only = [](std::vector<Format>& formats, Format format) { formats = {format}; };
    return chosen("-f,--format", choices, &Options::formats, kWhatToWrite, only);
}

Option formats(const Choices<Format>& choices) {
    return any_choices("-f,--format", choices, &Options::formats,
                       "What to write (default text); several, each with its own --format, need a folder");
}

Choices<Format> page_and_data_formats() {
    return {{"text", Format::text}, {"json", Format::json}, {"ndjson", Format::ndjson},
            {"csv", Format::csv},   {"md", Format::md},     {"html", Format::html}};
}

Option output_file() {
    return word("-o,--out", "<FILE>", &Options::out, "Where it goes (default '-': standard output)");
}

Option output() {
    return word("-o,--out", "<PATH>", &Options::out,
                "A file, or a folder (it exists, or the name ends in '/'); default '-': standard output");
}

Option language() {
    return choice<Language>("--language", {{"en", Language::en}, {"de", Language::de}, {"fr", Language::fr}},
                            &Options::language, "Of the page (default en; de and fr were not reviewed by a clinician)");
}

Option paper() {
    return of_format(Format::html, choice<Paper>("--paper", {{"a4", Paper::a4}, {"letter", Paper::letter}}, &Options::paper,
                                                 "Of a page as HTML when it is printed (default a4)"));
}

Option of_format(Format format, Option option) {
    option.refused = [format, name = option.names.back()](const Options& options) {
        const bool written = std::find(options.formats.begin(), options.formats.end(), format) != options.formats.end();
        return written ? "" : fmt::format("{0} is of --format {1}: add --format {1}", name, format == Format::fhir ? "fhir" : "html");
    };
    return option;
}

Option dry_run() {
    return flag("--dry-run", &Options::dry_run, "Say what would be read, scored and written, and write nothing");
}

OptionList companions() {
    return {
        plan_file("The plan that was prescribed"),
        sessions_list(),
        corrections_list(),
        channel(),
        word("--accessory", "<NAME|N>", &Options::accessory, "Accessory channel (abdominal ...), by label or number"),
        number("--start", "s", {0, 1e6}, &Options::start_s, "When the plan starts in the recording")};
}

OptionList batch() {
    Option list = file("--files-from", &Options::files_from,
                       "A file that names inputs, one a line (or ended by NUL); '-' is standard input");
    list.instead_of = "INPUT";
    return {list, whole("-j,--jobs", 1, 1024, &Options::jobs, "Recordings at once (default: one per core)")};
}

OptionList reading() {
    return under(
        "Reading",
        {number("--rate", "Hz", {0.1, 1e6}, &Options::rate_hz, "Sampling rate of a CSV file without a time column"),
         choice<std::string>("--unit", {{"uV", "uV"}, {"mV", "mV"}, {"V", "V"}}, &Options::unit,
                             "Unit of the values, whatever the file says"),
         choice<ChannelKind>("--kind", {{"raw", ChannelKind::raw}, {"envelope", ChannelKind::envelope}}, &Options::kind,
                             "Raw trace or exported amplitude, whatever it looks like")});
}

OptionList processing() {
    const Choices<MainsRemoval> mains = {{"50", MainsRemoval::hz50},
                                         {"60", MainsRemoval::hz60},
                                         {"off", MainsRemoval::off},
                                         {"auto", MainsRemoval::automatic}};
    const Choices<EnvelopeMethod> methods = {{"rms", EnvelopeMethod::moving_rms},
                                             {"rectified", EnvelopeMethod::rectified}};
    return under("Processing",
                 {choice("--mains", mains, &Options::mains,
                         "Remove mains hum where it is found (default: the plan's, else auto)"),
                  choice("--envelope", methods, &Options::envelope, "How the amplitude is followed (default rms)"),
                  flag("--subtract-noise", &Options::subtract_noise, "Subtract the quietest level (noise_floor_uv), in power"),
                  flag("--subtract-baseline", &Options::subtract_baseline,
                       "Exported amplitudes: subtract the running baseline")});
}

OptionList identity() {
    const Choices<IdentityLevel> levels = {{"keep", IdentityLevel::keep},
                                           {"pseudonym", IdentityLevel::pseudonym},
                                           {"anonymous", IdentityLevel::anonymous}};
    Option key = file("--key-file", &Options::key_file, "The clinic's key for pseudonyms, made by 'key new'");
    key.refused = [](const Options& options) {
        return options.identity == IdentityLevel::pseudonym ? "" : "--key-file is of pseudonyms, and none are asked for: add --identity pseudonym";
    };
    return under("Identity", {choice("--identity", levels, &Options::identity,
                                     "What outputs and messages may tell of who it is (default keep)"),
                              key});
}

OptionList console() {
    return {flag("-q,--quiet", &Options::quiet, "No notes and no progress on standard error"),
            choice<ColorUse>("--color", {{"auto", ColorUse::automatic}, {"always", ColorUse::always}, {"never", ColorUse::never}}, &Options::color,
                             "Colour in text (default auto: at a terminal, unless NO_COLOR is set or TERM is dumb)")};
}

OptionList page_for_a_reader() {
    const Choices<Reader> readers = {
        {"clinician", Reader::clinician}, {"patient", Reader::patient}, {"referrer", Reader::referrer}};
    Option of_page = language();
    of_page.refused = refused_language;
    Option microvolts = flag("--with-microvolts", &Options::with_microvolts, "The patient's page: with amplitudes in µV");
    microvolts.refused = [](const Options& options) {
        return options.reader == Reader::patient ? "" : "--with-microvolts is of the patient's page: add --for patient";
    };
    return {choice("--for", readers, &Options::reader,
                   "Whom the page is for (default clinician); JSON and CSV are the same for all"),
            of_page, paper(), microvolts};
}

}  // namespace tracehold
