#pragma once
// The commands of the program in one list.
#include <string>
#include <vector>

#include "app/command.hpp"

namespace tracehold {

struct ManualCommand {
    std::vector<std::string> words;  // {"plan", "check"}; empty for the program itself
    Command command;
    std::vector<Option> options;
    std::string name() const;  // "tracehold plan check"
};

// The program first, then its commands in the order of --help, a command of commands before its own.
std::vector<ManualCommand> all_commands();

}  // namespace tracehold
