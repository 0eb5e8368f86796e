#include "app/run.hpp"

#include <filesystem>
#include <new>
#include <stdexcept>

#include "app/command_line.hpp"
#include "app/console.hpp"
#include "app/kept_files.hpp"
#include "app/message_names.hpp"
#include "app/output.hpp"
#include "tracehold/core/error.hpp"

namespace tracehold {
namespace {

// What a killed run left unfinished goes with the next run to the same place.
void sweep_output(const std::string& out) {
    if (out != "-") sweep_unfinished(is_folder_path(out) ? out : std::filesystem::path(out).parent_path().string());
}

// What stops a whole command may name files, and quote them, as --identity allows.
ExitStatus run_command(const CommandLine& line) {
    try {
        refuse_to_replace(line.options.out);
        if (!line.options.dry_run) sweep_output(line.options.out);
        return line.command(line.options);
    } catch (const Error& error) {
        throw MessageNames(line.options).shown(error);
    } catch (const std::filesystem::filesystem_error& error) {
        throw MessageNames(line.options).shown(Error(ErrorKind::cannot_open, error.path1().string(), "", error.code().message()));
    } catch (const std::bad_alloc&) {
        throw Error(ErrorKind::unsupported, "", "", "there is not enough memory");
    } catch (const std::exception&) {
        if (line.options.identity == IdentityLevel::keep) throw;
        throw std::runtime_error("its words are not shown, since they may quote a file");
    }
}

}  // namespace

ExitStatus run(int argc, char** argv) {
    const CommandLine line = read_command_line(argc, argv);
    if (line.command) {
        return run_command(line);
    }
    if (line.status == ExitStatus::done) {
        write_output("-", line.text);
    } else {
        say(line.text.substr(0, line.text.size() - 1));
    }
    return line.status;
}

ExitStatus exit_status_of(const Error& error) {
    if (error.kind == ErrorKind::wrong_use) return ExitStatus::wrong_use;
    return error.kind == ErrorKind::cannot_write ? ExitStatus::cannot_write : ExitStatus::refused;
}

}  // namespace tracehold
