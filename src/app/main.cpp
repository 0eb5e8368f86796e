// tracehold: scores contraction sessions from recordings. Everything is in the library; this only starts it.
#include <cstdio>
#include <exception>

#include "app/console.hpp"
#include "app/run.hpp"
#include "tracehold/core/error.hpp"

int main(int argc, char** argv) {
    using namespace tracehold;
    try {
        return static_cast<int>(run(argc, argv));
    } catch (const Error& error) {
        say_error(error);
        return static_cast<int>(exit_status_of(error));
    } catch (const std::exception& fault) {
        std::fprintf(stderr, "tracehold: a fault of the program, please report it: %s\n", fault.what());
        return static_cast<int>(ExitStatus::fault);
    }
}
