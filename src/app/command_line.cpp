// The command line, cut into words and options by CLI11 after the tables of commands. It hands every word on as it
// stands: its own converters take 'nan', '' and octal, and its lists take apart what stands in brackets.
#include "app/command_line.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <list>
#include <vector>

#include "app/command.hpp"
#include "app/kept_files.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/identity/hide.hpp"

namespace tracehold {
namespace {

// What a result rests on beside this program. No date and no place: two builds of the same sources say the same.
std::string version_text() {
#ifdef __clang__
    constexpr std::string_view kCompiler = "clang";
#else
    constexpr std::string_view kCompiler = "GCC";
#endif
    return fmt::format("{} {}\nmeasures {}\ncompiler {} {}\nlibraries {}", kName, kVersion, kMeasuresVersion, kCompiler, __VERSION__,
                       TRACEHOLD_LIBRARIES);
}

// Hides from CLI11 what it would not hand on: '[a,b]' is a name like any other and no list, '--plan=' has an empty
// value, not the next word, and '--quiet=no' has one, whatever it says.
constexpr char kShield = '\x01';

// Behind the '=' of '--name=value', else ahead of all.
std::size_t place_of_shield(const std::string& word) { return word.starts_with("--") ? word.find('=') + 1 : 0; }

std::string shielded(std::string word) {
    const std::size_t at = place_of_shield(word);
    return at > 0 || word.starts_with('[') ? word.insert(at, 1, kShield) : word;
}

std::string unshielded(std::string word) {
    const std::size_t at = place_of_shield(word);
    return at < word.size() && word[at] == kShield ? word.erase(at, 1) : word;
}

void read_words(const Option& option, const std::vector<std::string>& words, Options& options) {
    const std::string& name = option.names.back();
    if (words.size() > 1 && !option.repeatable) {
        throw CLI::ValidationError(name, fmt::format("given {} times, expected once", words.size()));
    }
    for (const std::string& word : words) {
        const std::string wrong = option.read(options, unshielded(word));
        if (!wrong.empty()) throw CLI::ValidationError(name, wrong);
        if (option.is_read) keep_file(unshielded(word));
    }
}

void add_option(CLI::App& app, const Option& option, Options& options) {
    const std::string names = fmt::format("{}", fmt::join(option.names, ","));
    if (option.is_positional() || !option.argument.empty()) {
        const auto read = [&app, &option, &options](const std::vector<std::string>& words) {
            read_words(option, words, options);
            if (!option.instead_of.empty()) app.get_option(option.instead_of)->required(false);
        };
        CLI::Option* added = app.add_option_function<std::vector<std::string>>(names, read, option.text);
        added->option_text(option.is_positional() ? " " : option.argument)
            ->required(option.required)
            ->group(option.group);
        if (option.is_positional() && !option.repeatable) added->expected(1);
        if (!option.is_positional() || !option.repeatable) added->allow_extra_args(false);
    } else if (option.read) {
        app.add_flag_callback(
               names, [&option, &options] { option.read(options, ""); }, option.text)
            ->group(option.group)
            ->disable_flag_override();
    } else if (names == "--version") {
        app.set_version_flag(names, version_text(), option.text)->disable_flag_override();
    } else {
        app.set_help_flag(names, option.text)->disable_flag_override();
    }
}

using OptionLists = std::list<std::vector<Option>>;

// words: of the line; a command that is none of them is not run and needs no options. What the references lead to outlives
// the app.
void add_command(CLI::App& app, const Command& command, const std::vector<std::string>& words, CommandLine& line, OptionLists& made) {
    app.description(command.summary);
    app.footer(command.footer);
    const std::vector<Option>& own = made.emplace_back(command.options());
    for (const Option& option : own) add_option(app, option, line.options);
    for (const Command& below : command.commands) {
        CLI::App& added = *app.add_subcommand(below.name, below.summary)->group("Commands");
        if (std::find(words.begin(), words.end(), below.name) != words.end()) add_command(added, below, words, line, made);
    }
    if (!command.commands.empty()) app.require_subcommand(1);
    app.callback([&app, &command, &own, &line] {
        for (const Option& option : own) {
            const bool given = option.refused && app.count(option.names.back()) > 0;
            const std::string wrong = given ? option.refused(line.options) : "";
            if (!wrong.empty()) throw CLI::ValidationError(wrong);
        }
        if (command.run != nullptr) line.command = command.run;
    });
}

const CLI::App& app_in_use(const CLI::App& root) {
    const CLI::App* app = &root;
    while (!app->get_subcommands().empty()) app = app->get_subcommands().front();
    return *app;
}

std::string command_in_use(const CLI::App& root) {
    std::string name = root.get_name();
    for (const CLI::App* app = &root; !app->get_subcommands().empty();) {
        app = app->get_subcommands().front();
        name += " " + app->get_name();
    }
    return name;
}

// What is said of a word that nothing takes. The words that could have been meant are commands, or options of the
// command in use.
std::string complaint_of_stranger(const CLI::App& root, const std::string& stranger) {
    const CLI::App& app = app_in_use(root);
    std::vector<std::string> names;
    for (const CLI::Option* option : app.get_options()) {
        for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
    }
    const auto commands = app.get_subcommands([](const CLI::App*) { return true; });
    const bool is_option = stranger.starts_with("-");
    for (const CLI::Option* option : app.get_options()) {
        if (!is_option && option->get_positional() && option->count() > 0) return fmt::format("one {} is expected: saw '{}' too", option->get_name(), shown(stranger));
    }
    if (is_option && std::find(names.begin(), names.end(), stranger) != names.end()) {
        return fmt::format("'{}' stands ahead of the command, expected behind '{}'", stranger, command_in_use(root));
    }
    if (!is_option) names.clear();
    if (!is_option)
        std::transform(commands.begin(), commands.end(), std::back_inserter(names),
                       [](const CLI::App* sub) { return sub->get_name(); });
    const std::vector<std::string_view> known(names.begin(), names.end());
    const char* kind = is_option ? "option" : commands.empty() ? "argument" : "command";
    return fmt::format("unknown {} '{}'{}", kind, shown(stranger), did_you_mean(stranger, known));
}

// What nothing took. CLI11 counts the '--' that ends the options.
std::vector<std::string> strangers(const CLI::App& root) {
    std::vector<std::string> left = root.remaining(true);
    left.erase(std::remove(left.begin(), left.end(), "--"), left.end());
    return left;
}

// The first word that nothing took, without the '=value' of an option: CLI11 gives them in no order to rely on.
std::string first_stranger(const CLI::App& root, const std::vector<std::string>& words) {
    const std::vector<std::string> left = strangers(root);
    for (const std::string& word : words) {
        std::string name = word.starts_with("-") ? word.substr(0, word.find('=')) : word;
        const auto took_not = [&](const std::string& stranger) {
            return stranger == shielded(word) || stranger == name;
        };
        if (std::any_of(left.begin(), left.end(), took_not)) return name;
    }
    return left.empty() ? "" : unshielded(left.front());
}

// Also where the line was not understood to its end.
bool asks_to_hide(const std::vector<std::string>& words) {
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (words[i].starts_with("--identity=")) return words[i] != "--identity=keep";
        if (words[i] == "--identity") return i + 1 == words.size() || words[i + 1] != "keep";
    }
    return false;
}

// CLI11's words, but where they speak of its types: "--out: 1 required TEXT missing", "quiet was given a disallowed flag
// override".
std::string complaint_of_library(const CLI::ParseError& error) {
    const std::string what = error.what();
    const bool nothing_follows = what.find(" required ") != std::string::npos && what.ends_with(" missing");
    if (nothing_follows) return fmt::format("{}: expected a value behind it", what.substr(0, what.find(':')));
    return what.ends_with(" flag override") ? fmt::format("--{}: takes no value", what.substr(0, what.find(' '))) : what;
}

std::string complaint(const CLI::App& root, const CLI::ParseError& error, const std::vector<std::string>& words) {
    std::string what = complaint_of_library(error);
    const std::string stranger = first_stranger(root, words);
    if (!stranger.empty()) {
        what = complaint_of_stranger(root, stranger);
    } else if (error.get_name() == "RequiredError" && app_in_use(root).get_require_subcommand_min() > 0) {
        what = "a command is needed";
    }
    if (asks_to_hide(words) && !stranger.starts_with("-"))
        what = hide_quoted(what, IdentityLevel::anonymous);  // it may be a file's name
    return fmt::format("tracehold: {}\nTry '{} --help'.\n", what, command_in_use(root));
}

std::string help_of(const CLI::App& root) {
    const std::string name = command_in_use(root);
    const auto last = name.rfind(' ');
    std::string text = app_in_use(root).help(last == std::string::npos ? "" : name.substr(0, last));
    for (auto at = text.find("\n\n\n"); at != std::string::npos; at = text.find("\n\n\n")) text.erase(at, 1);
    return text;
}

}  // namespace

CommandLine read_command_line(int argc, char** argv) {
    const std::vector<std::string> words(argv + std::min(argc, 1), argv + argc);
    const Command program = the_program();
    CommandLine line;
    OptionLists options;
    CLI::App root;
    root.name(program.name);
    root.get_formatter()->column_width(34);
    root.get_formatter()->label("SUBCOMMAND", "COMMAND");
    root.get_formatter()->label("Positionals", "Arguments");
    add_command(root, program, words, line, options);
    root.allow_extras();
    std::vector<std::string> backwards;  // as CLI11 wants them
    std::transform(words.rbegin(), words.rend(), std::back_inserter(backwards), shielded);
    try {
        root.parse(std::move(backwards));
        if (!strangers(root).empty()) throw CLI::ExtrasError(strangers(root));
    } catch (const CLI::CallForHelp&) {
        return {.text = help_of(root), .status = ExitStatus::done};
    } catch (const CLI::CallForVersion& version) {
        return {.text = std::string(version.what()) + "\n", .status = ExitStatus::done};
    } catch (const CLI::ParseError& error) {
        return {.text = complaint(root, error, words), .status = ExitStatus::wrong_use};
    }
    if (line.options.formats.empty()) line.options.formats.push_back(Format::text);
    if (line.options.exports.empty()) line.options.exports.push_back(ExportFormat::edf);
    return line;
}

}  // namespace tracehold
