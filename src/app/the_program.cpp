#include <fmt/format.h>

#include <iterator>

#include "app/command.hpp"
#include "app/option_readers.hpp"
#include "tracehold/core/version.hpp"

namespace tracehold {

std::vector<Option> Command::options() const {
    std::vector<Option> all = {option_named("-h,--help", "", "Show this help")};
    if (own_options == nullptr) return all;
    std::vector<Option> own = own_options();
    std::move(own.begin(), own.end(), std::back_inserter(all));
    return all;
}

Command the_program() {
    Command program{.name = std::string(kName),
                    .summary = "Scores contraction sessions of the pelvic floor from surface-EMG recordings",
                    .footer =
                        "Example:\n  tracehold score --plan plan.jsonc week/\n  tracehold score --help\n\n"
                        "A plan, a scenario of practice recordings and a list of sessions to begin with lie in\n"
                        "the folder examples that comes with the program.\n\n"
                        "Exit status: 0 all done; 1 some input was refused or could not be scored; 2 wrong use;\n"
                        "3 an output could not be written; 70 a fault of the program.",
                    .own_options = [] { return std::vector{option_named("--version", "", "Show the version")}; },
                    .commands = commands_that_score()};
    std::vector<Command> others = commands_that_make();
    std::move(others.begin(), others.end(), std::back_inserter(program.commands));
    return program;
}

}  // namespace tracehold
