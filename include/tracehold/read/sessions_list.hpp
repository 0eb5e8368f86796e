#pragma once
// What the recordings themselves don't say: a CSV list with the columns file, person, start, posture, plan, channel, site.
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/note.hpp"

namespace tracehold {

// Empty text = not said. others: further columns of the list, name and value, in order (for --by COLUMN).
struct SessionEntry {
    std::string file;  // as written: a path relative to the list, or a base name; "" of a person who has no recording
    std::string person;
    std::optional<CivilTime> start;
    bool day_alone = false;  // start was written without a time of day, and is midnight
    std::string posture;
    std::string plan;
    std::string channel;
    std::string site;
    std::vector<std::pair<std::string, std::string>> others;
    bool operator==(const SessionEntry&) const = default;
};

// When a recording began by what it says itself and by its row: the row's word, but the recording's own time where the row names
// that day alone.
std::optional<CivilTime> start_of(const SessionEntry& entry, const std::optional<CivilTime>& of_recording);

// A sessions list: its rows, and what is odd about it (a column that may be a known one misspelt).
struct SessionsList {
    std::vector<SessionEntry> entries;
    std::vector<Note> notes;
};

// Errors: malformed (line:column; no file and more than a person), bad_setting (no file column, the same file twice, an impossible date).
SessionsList read_sessions_list(std::string_view text, const std::string& source);

// The entry whose file is the recording's path, or ends it, or is its base name; null if none.
const SessionEntry* find_entry(std::span<const SessionEntry> entries, std::string_view path);

}  // namespace tracehold
