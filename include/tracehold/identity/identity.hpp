#pragma once
// The noun of this room: what stands in for people, recordings and other people's words.
#include <cstddef>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "tracehold/core/civil_time.hpp"
#include "tracehold/core/identity_level.hpp"

namespace tracehold {

// A recording among those of one call, as far as numbers and days rest on it. content: its SHA-256, or its name where
// nothing better is known.
struct KnownRecording {
    std::string content;
    std::string person;  // "" = not stated
    std::optional<CivilTime> start;
    bool operator==(const KnownRecording&) const = default;
};

// The place of a recording: number of its person (0: not stated) and its own among that person's, from 1, in order of
// time.
struct RecordingNumber {
    std::size_t person = 0, recording = 0;
    auto operator<=>(const RecordingNumber&) const = default;
};

// Always true: keep has nothing but the level. pseudonym has the clinic's key, at least 32 bytes. anonymous has
// numbers, first days, and a key made of all the recordings' contents, so that only who holds every one of them could
// make it again.
struct Identity {
    IdentityLevel level = IdentityLevel::keep;
    std::string key;  // never in any output
    std::map<std::string, std::size_t> people;
    std::map<std::string, RecordingNumber> recordings;       // by content
    std::map<std::string, std::chrono::sys_days> first_day;  // by person

    bool hides() const { return level != IdentityLevel::keep; }
};

Identity pseudonymous(std::string key);

// Numbers in an order that nothing visible decides (a keyed hash): the first in the alphabet is not person 1.
Identity anonymous(std::span<const KnownRecording> recordings);

// "" stays "". A pseudonym has 16 characters (80 bits: among a million people two alike are less likely than one in a
// million). An anonymous person is "person-2", one of no recording of the call "person-other".
std::string person_label(const Identity& identity, std::string_view person);

// "recording-" and the first 12 digits of shown_hash, by which the clinic finds the file again ('verify' with the key);
// anonymous: "person-2-recording-05".
std::string recording_label(const Identity& identity, std::string_view content);

// Dates stay under a pseudonym. Anonymous ones are days counted from that person's first recording, which stands as
// 0001-01-01, at midnight; empty for dates before 2000, which a recorder writes whose clock was never set.
std::optional<CivilTime> shown_start(const Identity& identity, std::string_view person, std::optional<CivilTime> start);

// Words of the trade stay ("EMG PFM", "lying"); anything else becomes "KIND-" and 8 characters, the same for the same
// text in any case of letters.
std::string shown_word(const Identity& identity, std::string_view kind, std::string_view text);

// 64 hex digits, keyed, in place of a file's SHA-256: without the key no holder of the file knows it. "" for anonymous, "".
std::string shown_hash(const Identity& identity, std::string_view sha256);

}  // namespace tracehold
