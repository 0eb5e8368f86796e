#pragma once
namespace tracehold {

class Error;

enum class ExitStatus {
    done = 0,
    refused = 1,       // some input was refused, could not be scored, or did not verify
    wrong_use = 2,     // of the command line
    cannot_write = 3,  // an output could not be written
    fault = 70,        // of the program
};

// Reads the command line and does what it asks. Errors: Error, where nothing else can go on.
ExitStatus run(int argc, char** argv);

ExitStatus exit_status_of(const Error& error);

}  // namespace tracehold
