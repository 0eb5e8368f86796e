#include "manual/completions.hpp"

#include <fmt/format.h>

#include "tracehold/exchange/write_session.hpp"
#include "tracehold/measures/measure_list.hpp"

namespace tracehold {
namespace {

std::string joined(const std::vector<std::string>& words) {
    std::string out;
    for (const std::string& word : words) out += (out.empty() ? "" : " ") + word;
    return out;
}

std::string path_of(const ManualCommand& command) { return joined(command.words); }

// What may stand where no option does: commands, measures, schemas; empty where files do.
std::vector<std::string> free_words(const ManualCommand& command, std::span<const ManualCommand> commands) {
    std::vector<std::string> words;
    for (const ManualCommand& other : commands) {
        const bool child = other.words.size() == command.words.size() + 1 &&
                           std::equal(command.words.begin(), command.words.end(), other.words.begin());
        if (child) words.push_back(other.words.back());
    }
    if (path_of(command) == "explain")
        for (const Measure& measure : measure_list()) words.emplace_back(measure.key);
    if (path_of(command) == "schema")
        for (const std::string_view name : schema_names()) words.emplace_back(name);
    return words;
}

std::vector<std::string> option_names(const ManualCommand& command) {
    std::vector<std::string> names;
    for (const ManualOption& option : command.options)
        if (!option.positional) names.insert(names.end(), option.names.begin(), option.names.end());
    return names;
}

// A text inside single quotes of a shell.
std::string quoted(const std::string& text) {
    std::string out = "'";
    for (const char c : text) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return out + "'";
}

bool has_own_commands(const ManualCommand& command, std::span<const ManualCommand> commands) {
    for (const ManualCommand& other : commands)
        if (other.words.size() > command.words.size() && !command.words.empty() && other.words[0] == command.words[0])
            return true;
    return command.words.empty();
}

// One branch of bash for each option that takes a value.
std::string bash_values(const ManualCommand& command) {
    std::string out;
    for (const ManualOption& option : command.options) {
        if (option.positional || option.argument.empty()) continue;
        std::string names;
        for (const std::string& name : option.names) names += (names.empty() ? "" : "|") + name;
        const char* nothing = "return ;;";
        if (!option.choices.empty())
            out += fmt::format("            {}) words={}; choose=1 ;;\n", names, quoted(joined(option.choices)));
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
        "    [ \"$command\" = plan ] && [ \"$COMP_CWORD\" -gt 2 ] && command=\"plan ${COMP_WORDS[2]}\"\n"
        "    [ \"$COMP_CWORD\" -eq 1 ] && command=''\n"
        "    COMPREPLY=()\n"
        "    case $command in\n";
    for (const ManualCommand& command : commands) {
        const std::vector<std::string> words = free_words(command, commands);
        const bool takes_files = words.empty();
        out += fmt::format("    {})\n        case $previous in\n{}            *)\n", quoted(path_of(command)), bash_values(command));
        out += fmt::format("                if [[ $current == -* ]]; then words={}; choose=1\n", quoted(joined(option_names(command))));
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
        for (const std::string& word : free_words(commands.front(), commands)) here += " " + word;
        if (!command.words.empty()) {
            here.clear();
            for (const std::string& word : command.words) here += (here.empty() ? "" : "; and ") + ("__fish_seen_subcommand_from " + word);
        }
        const auto words = free_words(command, commands);
        if (!words.empty()) {
            const std::string where = has_own_commands(command, commands) && !command.words.empty()
                                          ? here + "; and not __fish_seen_subcommand_from " + joined(words)
                                          : here;
            out += fmt::format("complete -c tracehold -f -n {} -a {}\n", quoted(where), quoted(joined(words)));
        }
        for (const ManualOption& option : command.options) {
            if (option.positional) continue;
            out += fmt::format("complete -c tracehold -n {}", quoted(here));
            for (const std::string& name : option.names)
                out += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
            if (!option.choices.empty()) out += " -x -a " + quoted(joined(option.choices));
            if (option.choices.empty() && !option.argument.empty()) out += option.takes_files() ? " -r -F" : " -x";
            out += fmt::format(" -d {}\n", quoted(option.text));
        }
    }
    return out;
}

std::string zsh_completion(std::span<const ManualCommand> commands) {
    const auto bracketed = [](std::string text) {
        std::string out;
        for (const char c : text) out += c == '[' || c == ']' || c == ':' ? std::string("\\") + c : std::string(1, c);
        return out;
    };
    std::string out =
        "#compdef tracehold\n"
        "_tracehold() {\n"
        "    local command=${words[2]}\n"
        "    [[ $command == plan ]] && (( CURRENT > 3 )) && command=\"plan ${words[3]}\"\n"
        "    (( CURRENT == 2 )) && command=''\n"
        "    case $command in\n";
    for (const ManualCommand& command : commands) {
        out += fmt::format("    {})\n        _arguments -s", quoted(path_of(command)));
        for (const ManualOption& option : command.options) {
            if (option.positional) continue;
            std::string value;
            if (!option.choices.empty()) value = ": :(" + joined(option.choices) + ")";
            else if (option.takes_files()) value = ": :_files";
            else if (!option.argument.empty()) value = ": : ";
            for (const std::string& name : option.names)
                out += " \\\n            " + quoted("*" + name + "[" + bracketed(option.text) + "]" + value);
        }
        const auto words = free_words(command, commands);
        out += " \\\n            " + quoted(words.empty() ? std::string("*: :_files") : "*: :(" + joined(words) + ")") + " ;;\n";
    }
    return out + "    esac\n}\n_tracehold \"$@\"\n";
}

}  // namespace tracehold
