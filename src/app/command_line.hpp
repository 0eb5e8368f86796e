#pragma once
#include <string>

#include "app/options.hpp"
#include "app/run.hpp"

namespace tracehold {

// What a command line means: a command with its options, or a text to print at once (help, version, a complaint).
struct CommandLine {
    ExitStatus (*command)(const Options&) = nullptr;  // null: only print
    Options options;
    std::string text;
    ExitStatus status = ExitStatus::done;  // of a text: done goes to standard output, wrong_use to standard error
};

CommandLine read_command_line(int argc, char** argv);

}  // namespace tracehold
