#pragma once
#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <string_view>

#include "tracehold/core/error.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold::test {

inline bool has_note(const Recording& recording, std::string_view code) {
    return std::any_of(recording.notes.begin(), recording.notes.end(),
                       [&](const Note& note) { return note.code == code; });
}

inline std::string note_text(const Recording& recording, std::string_view code) {
    for (const Note& note : recording.notes) {
        if (note.code == code) return note.text;
    }
    return "no such note";
}

// The whole text of the error that reading gives; "read" if it gives none.
inline std::string error_of(std::string_view text, const ReadSettings& settings = {}) {
    try {
        read_csv(text, "x.csv", settings);
    } catch (const Error& error) {
        return error.what();
    }
    return "read";
}

inline Recording csv(std::string_view text, const ReadSettings& settings = {}) {
    return read_csv(text, "x.csv", settings);
}

}  // namespace tracehold::test
