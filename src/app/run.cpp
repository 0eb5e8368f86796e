#include "app/run.hpp"

#include "app/command_line.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "tracehold/core/error.hpp"

namespace tracehold {

ExitStatus run(int argc, char** argv) {
    const CommandLine line = read_command_line(argc, argv);
    if (line.command) return line.command(line.options);
    if (line.status == ExitStatus::done) {
        write_output("-", line.text);
    } else {
        say(line.text.substr(0, line.text.size() - 1));
    }
    return line.status;
}

ExitStatus exit_status_of(const Error& error) {
    return error.kind == ErrorKind::cannot_write ? ExitStatus::cannot_write : ExitStatus::refused;
}

}  // namespace tracehold
