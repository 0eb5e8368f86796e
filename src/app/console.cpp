#include "app/console.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>

#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

bool is_set(const char* name) {
    const char* value = std::getenv(name);
    return value != nullptr && *value != '\0';
}

// Messages carry line breaks of their own, but nothing from a file may steer the terminal.
std::string safe_lines(std::string_view text) {
    constexpr std::size_t kLongestLine = 2000;
    std::string out;
    while (true) {
        const auto end = text.find('\n');
        out += shown(text.substr(0, end), kLongestLine);
        if (end == std::string_view::npos) return out;
        out += '\n';
        text.remove_prefix(end + 1);
    }
}

// How a person calls the file that the command line calls "-".
std::string spoken(const std::string& source) { return source == "-" ? "standard input" : source; }

}  // namespace

bool is_terminal(int descriptor) { return isatty(descriptor) == 1; }

bool wants_color(ColorUse use, bool on_terminal) {
    if (use != ColorUse::automatic) return use == ColorUse::always;
    const char* terminal = std::getenv("TERM");
    const bool dumb = terminal != nullptr && std::string_view(terminal) == "dumb";
    return on_terminal && !is_set("NO_COLOR") && !dumb;
}

void say(std::string_view line) {
    const std::string text = safe_lines(line) + "\n";
    std::fwrite(text.data(), 1, text.size(), stderr);
}

void say_error(const Error& error) {
    const Error told(error.kind, spoken(error.source), error.place, error.message, error.hint);
    say(fmt::format("tracehold: error: {}", told.what()));
}

void say_note(const std::string& source, const Note& note) {
    constexpr std::size_t kLongest = 2000;
    const std::string place = note.place.empty() ? "" : ":" + shown(note.place, kLongest);
    say(fmt::format("tracehold: note: {}{}: {}", shown(spoken(source), kLongest), place, shown(note.text, kLongest)));
}

void NotesOnce::say(const std::string& source, const Note& note) {
    const auto [known, is_new] = known_.emplace(std::pair(note.code, note.text), said_.size());
    if (!is_new) {
        ++said_[known->second].more;
        return;
    }
    said_.push_back({source, note});
    say_note(source, note);
}

void NotesOnce::finish() const {
    for (const Said& one : said_) {
        if (one.more == 0) continue;
        say_note(one.source, {one.note.code, one.note.place,
                              fmt::format("the same was found {} more {}: {}", one.more, one.more == 1 ? "time" : "times", one.note.text)});
    }
}

}  // namespace tracehold
