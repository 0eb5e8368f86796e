#pragma once
// What is said to a person while the program runs: standard error, never standard output.
#include <cstddef>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tracehold/core/error.hpp"
#include "tracehold/core/note.hpp"

namespace tracehold {

bool is_terminal(int descriptor);

// automatic: only at a terminal, not with NO_COLOR set, not on TERM=dumb.
enum class ColorUse { automatic, always, never };
bool wants_color(ColorUse use, bool on_terminal);

void say(std::string_view line);
void say_error(const Error& error);
void say_note(const std::string& source, const Note& note);

// Notes of many files: what was said before is counted, and told at the end by the first file that it was said of.
class NotesOnce {
public:
    void say(const std::string& source, const Note& note);
    void finish() const;

private:
    struct Said {
        std::string source;
        Note note;
        std::size_t more = 0;
    };
    std::map<std::pair<std::string, std::string>, std::size_t> known_;  // code and text -> index
    std::vector<Said> said_;
};

}  // namespace tracehold
