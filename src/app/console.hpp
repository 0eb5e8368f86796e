#pragma once
// What is said to a person while the program runs: standard error, never standard output.
#include <cstddef>
#include <string>
#include <string_view>

#include "tracehold/core/error.hpp"
#include "tracehold/core/note.hpp"

namespace tracehold {

bool is_terminal(int descriptor);

// Colour only on a terminal, not with NO_COLOR set, not on TERM=dumb.
bool wants_color(bool no_color_option);

void say(std::string_view line);
void say_error(const Error& error);
void say_note(const std::string& source, const Note& note);

// "3 of 8 recordings" on one line that rewrites itself; only on a terminal.
class Progress {
public:
    Progress(std::size_t total, bool quiet);
    ~Progress();
    void step();

private:
    std::size_t total_;
    std::size_t done_ = 0;
    bool shown_;
};

}  // namespace tracehold
