#include "manual/completions.hpp"

#include <fmt/format.h>

#include "app/commands.hpp"
#include "tracehold/exchange/write_session.hpp"

namespace tracehold {
namespace {

std::string joined(const std::vector<std::string>& words) { return fmt::format("{}", fmt::join(words, " ")); }

std::string path_of(const ManualCommand& command) { return joined(command.words); }

// The commands that have commands of their own.
std::string with_commands(std::span<const ManualCommand> commands, const char* between) {
    std::vector<std::string> names;
    for (const ManualCommand& command : commands)
        if (!command.words.empty() && !command.command.commands.empty()) names.push_back(command.words.back());
    return fmt::format("{}", fmt::join(names, between));
}

// What may stand where no option does: commands, what is explained, schemas; empty where files do.
std::vector<std::string> free_words(const ManualCommand& command) {
    std::vector<std::string> words;
    for (const Command& below : command.command.commands) words.push_back(below.name);
    if (path_of(command) == "explain") words = explained_keys();
    if (path_of(command) == "schema")
        for (const std::string_view name : schema_names()) words.emplace_back(name);
    return words;
}

std::vector<std::string> option_names(const ManualCommand& command) {
    std::vector<std::string> names;
    for (const Option& option : command.options)
        if (!option.is_positional()) names.insert(names.end(), option.names.begin(), option.names.end());
    return names;
}

// A text inside single quotes of a shell.
std::string quoted(const std::string& text) {
    std::string out = "'";
    for (const char c : text) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return out + "'";
}

// One branch of bash for each option that takes a value.
std::string bash_values(const ManualCommand& command) {
    std::string out;
    for (const Option& option : command.options) {
        if (option.is_positional() || option.argument.empty()) continue;
        std::string names;
        for (const std::string& name : option.names) names += (names.empty() ? "" : "|") + name;
        const char* nothing = "return ;;";
        if (!option.choices().empty())
            out += fmt::format("            {}) words={}; choose=1 ;;\n", names, quoted(joined(option.choices())));
        else if (option.takes_files())
            out += fmt::format("            {}) files=1 ;;\n", names);
        else
            out += fmt::format("            {}) {}\n", names, nothing);
    }
    return out;
}

}  // namespace

std::string bash_completion(std::span<const ManualCommand> commands) {
    std::string out =
        "# bash completion for tracehold\n"
        "_tracehold() {\n"
        "    local current=${COMP_WORDS[COMP_CWORD]} previous=${COMP_WORDS[COMP_CWORD-1]}\n"
        "    local command=${COMP_WORDS[1]} words='' files='' choose=''\n"
        "    # '--option=value' comes in three words\n"
        "    if [ \"$current\" = = ]; then current=''; elif [ \"$previous\" = = ]; then previous=${COMP_WORDS[COMP_CWORD-2]}; fi\n"
        "    [[ $command =~ ^(" +
        with_commands(commands, "|") +
        ")$ ]] && [ \"$COMP_CWORD\" -gt 2 ] && command+=\" ${COMP_WORDS[2]}\"\n"
        "    [ \"$COMP_CWORD\" -eq 1 ] && command=''\n"
        "    COMPREPLY=()\n"
        "    case $command in\n";
    for (const ManualCommand& command : commands) {
        const std::vector<std::string> words = free_words(command);
        const bool takes_files = words.empty();
        out += fmt::format("    {})\n        case $previous in\n{}            *)\n", quoted(path_of(command)),
                           bash_values(command));
        out += fmt::format("                if [[ $current == -* ]]; then words={}; choose=1\n",
                           quoted(joined(option_names(command))));
        out += takes_files ? "                else files=1; fi ;;\n"
                           : fmt::format("                else words={}; choose=1; fi ;;\n", quoted(joined(words)));
        out += "        esac ;;\n";
    }
    return out +
           "    esac\n"
           "    [ -n \"$choose\" ] && COMPREPLY=($(compgen -W \"$words\" -- \"$current\"))\n"
           "    [ -n \"$files\" ] && { compopt -o filenames; mapfile -t COMPREPLY < <(compgen -f -- \"$current\"); }\n"
           "    return 0\n"
           "}\n"
           "complete -F _tracehold tracehold\n";
}

std::string fish_completion(std::span<const ManualCommand> commands) {
    std::string out = "# fish completion for tracehold\n";
    for (const ManualCommand& command : commands) {
        std::string here = "not __fish_seen_subcommand_from";
        for (const std::string& word : free_words(commands.front())) here += " " + word;
        if (!command.words.empty()) {
            here.clear();
            for (const std::string& word : command.words)
                here += (here.empty() ? "" : "; and ") + ("__fish_seen_subcommand_from " + word);
        }
        const auto words = free_words(command);
        if (!words.empty()) {
            const std::string where = !command.command.commands.empty() && !command.words.empty()
                                          ? here + "; and not __fish_seen_subcommand_from " + joined(words)
                                          : here;
            out += fmt::format("complete -c tracehold -f -n {} -a {}\n", quoted(where), quoted(joined(words)));
        }
        for (const Option& option : command.options) {
            if (option.is_positional()) continue;
            out += fmt::format("complete -c tracehold -n {}", quoted(here));
            for (const std::string& name : option.names)
                out += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
            if (!option.choices().empty()) out += " -x -a " + quoted(joined(option.choices()));
            if (option.choices().empty() && !option.argument.empty()) out += option.takes_files() ? " -r -F" : " -x";
            out += fmt::format(" -d {}\n", quoted(option.text));
        }
    }
    return out;
}

std::string zsh_completion(std::span<const ManualCommand> commands) {
    const auto bracketed = [](const std::string& text) {
        std::string out;
        for (const char c : text) out += c == '[' || c == ']' || c == ':' ? std::string("\\") + c : std::string(1, c);
        return out;
    };
    std::string out =
        "#compdef tracehold\n"
        "_tracehold() {\n"
        "    local command=${words[2]}\n"
        "    [[ $command =~ '^(" +
        with_commands(commands, "|") +
        ")$' ]] && (( CURRENT > 3 )) && command+=\" ${words[3]}\"\n"
        "    (( CURRENT == 2 )) && command=''\n"
        "    case $command in\n";
    for (const ManualCommand& command : commands) {
        out += fmt::format("    {})\n        _arguments -s", quoted(path_of(command)));
        for (const Option& option : command.options) {
            if (option.is_positional()) continue;
            std::string value;
            if (!option.choices().empty())
                value = ": :(" + joined(option.choices()) + ")";
            else if (option.takes_files())
                value = ": :_files";
            else if (!option.argument.empty())
                value = ": : ";
            for (const std::string& name : option.names) {
                const char* joint = value.empty() ? "" : name.starts_with("--") ? "=" : "+";  // the value may stand in the same word
                out += " \\\n            " + quoted(fmt::format("*{}{}[{}]{}", name, joint, bracketed(option.text), value));
            }
        }
        const auto words = free_words(command);
        out += " \\\n            " + quoted(words.empty() ? std::string("*: :_files") : "*: :(" + joined(words) + ")") +
               " ;;\n";
    }
    return out + "    esac\n}\n_tracehold \"$@\"\n";
}

}  // namespace tracehold
