#include "app/process.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <csignal>
#include <cstdlib>
#include <exception>
#include <string_view>

#include "app/run.hpp"
#include "tracehold/core/memory.hpp"

namespace tracehold {
namespace {

[[noreturn]] void end_as_fault() {
    constexpr std::string_view kText = "tracehold: a fault of the program, perhaps for lack of memory; nothing half written is in place\n";
    [[maybe_unused]] const auto ignored = ::write(STDERR_FILENO, kText.data(), kText.size());
    std::_Exit(static_cast<int>(ExitStatus::fault));
}

}  // namespace

void settle_process() {
    keep_freed_memory();
    std::set_terminate(end_as_fault);
    std::signal(SIGXFSZ, SIG_IGN);
    for (const int descriptor : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
        if (::fcntl(descriptor, F_GETFD) == -1) ::open("/dev/null", O_RDONLY);  // takes the lowest free number: this one
    }
}

}  // namespace tracehold
