#include "manual/commands.hpp"

#include <fmt/format.h>

namespace tracehold {
namespace {

void add_command(std::vector<ManualCommand>& commands, const Command& command, const std::vector<std::string>& words) {
    commands.push_back({words, command, command.options()});
    for (const Command& below : command.commands) {
        std::vector<std::string> deeper = words;
        deeper.push_back(below.name);
        add_command(commands, below, deeper);
    }
}

}  // namespace

std::string ManualCommand::name() const {
    return words.empty() ? "tracehold" : fmt::format("tracehold {}", fmt::join(words, " "));
}

std::vector<ManualCommand> all_commands() {
    std::vector<ManualCommand> commands;
    add_command(commands, the_program(), {});
    return commands;
}

}  // namespace tracehold
