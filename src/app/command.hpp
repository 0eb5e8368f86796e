#pragma once
// The commands of the program as plain tables: what the command line is read by, and what --help, the manual and the
// completions are made from.
#include <functional>
#include <string>
#include <vector>

#include "app/options.hpp"
#include "app/run.hpp"

namespace tracehold {

struct Option {
    std::vector<std::string> names;  // "-f", "--format"; of a positional its one name, "INPUT"
    std::string argument;            // "<FILE>", or the words to choose from, "json|csv|COLUMN"; "" for a flag
    std::string text;                // a sentence without its full stop
    // Takes a word into the options and says what is wrong with it, "" for nothing. A flag is handed "". Empty for
    // --help and --version, which are answered before any command runs.
    std::function<std::string(Options&, const std::string&)> read;
    bool repeatable = false;
    bool is_read = false;  // its word names a file that no output may replace
    bool required = false;
    std::string instead_of = {};  // this required option is not, beside this one
    std::string group = "Options";
    // Where it is given: what is wrong with it beside the others, once all are read; "" for nothing.
    std::function<std::string(const Options&)> refused = {};

    bool is_positional() const { return !names[0].starts_with('-'); }
    bool takes_files() const;                  // the argument is the name of a file or folder
    std::vector<std::string> choices() const;  // the words to choose from, without COLUMN; empty where it is free
};

struct Command {
    std::string name;
    std::string summary;
    std::string footer;                           // remarks and examples, lines as on the screen
    std::vector<Option> (*own_options)() = nullptr;  // in the order of --help, which every command has beside them
    ExitStatus (*run)(const Options&) = nullptr;  // null for a command of commands
    std::vector<Command> commands = {};

    std::vector<Option> options() const;  // made anew: that takes longer than all the rest of a short command
};

// The program itself with all of its commands, in the order of --help.
Command the_program();

// Those that read recordings or their results, and those that make or tell something else.
std::vector<Command> commands_that_score();
std::vector<Command> commands_that_make();

}  // namespace tracehold
