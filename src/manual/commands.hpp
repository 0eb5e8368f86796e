#pragma once
// The commands of the program as plain data, read off the very objects that parse the command line.
#include <string>
#include <vector>

namespace tracehold {

struct ManualOption {
    std::vector<std::string> names;    // "-f", "--format"; for a positional its name alone
    std::string argument;              // "<FILE>", or the words to choose from; "" for a flag
    std::vector<std::string> choices;  // of the argument; empty where it is free
    std::string text;                  // a sentence without its full stop
    std::string group;                 // heading it stands under
    bool positional = false;
    bool takes_files() const;  // the argument is the name of a file or folder
};

struct ManualCommand {
    std::vector<std::string> words;  // {"plan", "check"}; empty for the program itself
    std::string summary;
    std::string footer;                 // remarks and examples, lines as on the screen
    std::vector<ManualOption> options;  // in the order of --help
    std::string name() const;           // "tracehold plan check"
};

// The program first, then its commands in the order of --help, a command of commands before its own.
std::vector<ManualCommand> all_commands();

}  // namespace tracehold
