#pragma once
#include <doctest/doctest.h>

#include <algorithm>
#include <bit>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tracehold/core/error.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold::test {

// Of the recording, or a doubt of one of its channels; empty without one.
inline std::optional<Note> find_note(const Recording& recording, std::string_view code) {
    std::vector<Note> notes = recording.notes;
    for (const Channel& channel : recording.channels) notes.insert(notes.end(), channel.doubts.begin(), channel.doubts.end());
    const auto found = std::find_if(notes.begin(), notes.end(), [&](const Note& note) { return note.code == code; });
    return found == notes.end() ? std::nullopt : std::optional(*found);
}

inline bool has_note(const Recording& recording, std::string_view code) { return find_note(recording, code).has_value(); }

inline bool has_doubt(const Recording& recording, std::string_view code) {
    const auto note = find_note(recording, code);
    return note && note->doubt;
}

inline std::string note_text(const Recording& recording, std::string_view code) {
    const auto note = find_note(recording, code);
    return note ? note->text : "no such note";
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

// The notes in their order.
inline std::string codes(const Recording& recording) {
    std::string out;
    for (const Note& note : recording.notes) out += (out.empty() ? "" : " ") + note.code;
    return out;
}

inline bool same_bits(double a, double b) { return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b); }

}  // namespace tracehold::test
