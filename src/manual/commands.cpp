#include "manual/commands.hpp"

#include <CLI/CLI.hpp>

#include "app/command_line.hpp"

namespace tracehold {
namespace {

std::vector<std::string> split(const std::string& text, char at) {
    std::vector<std::string> parts(1);
    for (const char c : text) {
        if (c == at)
            parts.emplace_back();
        else
            parts.back() += c;
    }
    return parts;
}

ManualOption option_of(const CLI::Option& option) {
    ManualOption out;
    out.positional = option.get_positional() && option.get_snames().empty() && option.get_lnames().empty();
    if (out.positional) out.names.push_back(option.get_name());
    for (const std::string& name : option.get_snames()) out.names.push_back("-" + name);
    for (const std::string& name : option.get_lnames()) out.names.push_back("--" + name);
    out.argument = option.get_option_text();
    while (out.argument.starts_with(' ')) out.argument.erase(0, 1);
    if (out.argument.find('|') != std::string::npos && !out.argument.starts_with('<'))
        out.choices = split(out.argument, '|');
    out.text = option.get_description();
    out.group = option.get_group();
    return out;
}

void add_command(std::vector<ManualCommand>& commands, const CLI::App& app, std::vector<std::string> words) {
    ManualCommand command{words, app.get_description(), app.get_footer(), {}};
    for (const CLI::Option* option : app.get_options()) command.options.push_back(option_of(*option));
    commands.push_back(std::move(command));
    for (const CLI::App* sub : app.get_subcommands([](const CLI::App*) { return true; })) {
        std::vector<std::string> deeper = words;
        deeper.push_back(sub->get_name());
        add_command(commands, *sub, std::move(deeper));
    }
}

}  // namespace

bool ManualOption::takes_files() const {
    for (const char* word : {"FILE", "FOLDER", "PATH"})
        if (argument.find(word) != std::string::npos) return true;
    return positional && (names[0] == "INPUT" || names[0] == "FILE");
}

std::string ManualCommand::name() const {
    std::string out = "tracehold";
    for (const std::string& word : words) out += " " + word;
    return out;
}

std::vector<ManualCommand> all_commands() {
    CommandLine line;
    CLI::App root;
    add_commands(root, line);
    std::vector<ManualCommand> commands;
    add_command(commands, root, {});
    return commands;
}

}  // namespace tracehold
