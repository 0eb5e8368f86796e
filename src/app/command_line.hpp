#pragma once
#include <functional>
#include <optional>
#include <string>

#include "app/options.hpp"
#include "app/run.hpp"

namespace CLI {
class App;
}

namespace tracehold {

// What a command line means: a command with its options, or a text to print at once (help, version, a complaint).
struct CommandLine {
    std::function<ExitStatus(const Options&)> command;  // empty: only print
    Options options;
    std::string text;
    ExitStatus status = ExitStatus::done;  // of a text: done goes to standard output, wrong_use to standard error
};

CommandLine read_command_line(int argc, char** argv);

// All commands with their options, help texts and examples: what the command line is read by, and what the manual and
// the completions are made from. The line must outlive the root.
void add_commands(CLI::App& root, CommandLine& line);

}  // namespace tracehold
