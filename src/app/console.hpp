#pragma once
// What is said to a person while the program runs: standard error, never standard output.
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

}  // namespace tracehold
