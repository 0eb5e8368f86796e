// tracehold: scores contraction sessions from recordings. Everything is in the library; this only starts it.
#include <cstdio>
#include <exception>

#include "app/console.hpp"
#include "app/process.hpp"
#include "app/run.hpp"
#include "app/stop_signal.hpp"
#include "tracehold/core/error.hpp"

int main(int argc, char** argv) try {
    using namespace tracehold;
    settle_process();
    try {
        return static_cast<int>(run(argc, argv));
    } catch (const Stopped& stopped) {
        end_by(stopped);
    } catch (const Error& error) {
        say_error(error);
        return static_cast<int>(exit_status_of(error));
    }
} catch (const std::exception& fault) {
    std::fprintf(stderr, "tracehold: a fault of the program, please report it: %s\n", fault.what());
    return static_cast<int>(tracehold::ExitStatus::fault);
}
