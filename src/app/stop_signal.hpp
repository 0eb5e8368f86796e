#pragma once
// SIGINT, SIGTERM and SIGHUP during long work: what is under way is finished, what is done is kept, then the program ends by that
// signal, as whoever sent it expects.

namespace tracehold {

// Thrown where the work was stopped; not an error of a file or of the program.
struct Stopped {
    int signal = 0;
};

// While it lives, the first of these signals is remembered instead of ending the program; the second ends it at once. A
// signal that was ignored before (nohup, a job in the background) stays ignored. One at a time.
class StopSignal {
public:
    StopSignal();
    ~StopSignal();
    StopSignal(const StopSignal&) = delete;
    StopSignal& operator=(const StopSignal&) = delete;

    void check() const;  // errors: Stopped, once a signal came
};

// Errors: Stopped, where a signal came to the StopSignal that lives now. For waits on another thread than its own.
void stop_if_asked();

// Ends the program by the signal.
[[noreturn]] void end_by(Stopped stopped);

}  // namespace tracehold
