#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/key_file.hpp"
#include "app/output.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {

ExitStatus key_new_command(const Options& options) {
    const std::string path = key_path(options.key_file);
    write_new_key(path);
    write_output("-", fmt::format("{}: a new key, readable by you alone\n"
                                  "Keep a copy in a safe place, apart from the results: without it nobody can make the "
                                  "same pseudonyms again,\n"
                                  "and whoever has it can find out whose they are.\n",
                                  shown(path, 400)));
    return ExitStatus::done;
}

}  // namespace tracehold
