// Stand-ins are keyed hashes, each kind of text under its own name so that a person and a site of one name get
// different ones. A plain hash would be no pseudonym: all codes of eight digits are tried within a minute.
#include "tracehold/identity/identity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <tuple>
#include <vector>

#include "identity/plain_words.hpp"
#include "tracehold/core/keyed_hash.hpp"
#include "tracehold/core/sha256.hpp"

namespace tracehold {
namespace {

using std::chrono::days;
using std::chrono::sys_days;

constexpr sys_days kDayOne = std::chrono::year{1} / 1 / 1;
constexpr sys_days kClockWasSet =
    std::chrono::year{2000} / 1 / 1;  // a date before is a recorder's unset clock, as in a course
constexpr std::size_t kPersonCharacters = 16;
constexpr std::size_t kWordCharacters = 8;  // 40 bits: a service has hundreds of such words, not millions
constexpr std::size_t kContentDigits = 12;  // of a SHA-256: 48 bits

std::string hash_of(const Identity& identity, std::string_view kind, std::string_view text) {
    return keyed_hash_hex(identity.key, fmt::format("tracehold.{}/1", kind) + '\0' + std::string(text));
}

std::string key_of(std::span<const KnownRecording> recordings) {
    std::set<std::string> contents;
    for (const KnownRecording& recording : recordings) contents.insert(recording.content);
    std::string all = "tracehold.anonymous/1";
    for (const std::string& content : contents) all += "\n" + content;
    return bytes_of_hex(sha256_hex(all));
}

void number_people(Identity& identity, std::span<const KnownRecording> recordings) {
    std::map<std::string, std::string> by_hash;
    for (const KnownRecording& recording : recordings) {
        if (!recording.person.empty()) by_hash[hash_of(identity, "person", recording.person)] = recording.person;
    }
    std::size_t number = 0;
    for (const auto& [hash, person] : by_hash) identity.people[person] = ++number;
}

sys_days day_of(const CivilTime& time) { return std::chrono::floor<days>(time.local); }

void find_first_days(Identity& identity, std::span<const KnownRecording> recordings) {
    for (const KnownRecording& recording : recordings) {
        if (!recording.start) continue;
        const sys_days day = day_of(*recording.start);
        if (day < kClockWasSet) continue;
        const auto [first, fresh] = identity.first_day.emplace(recording.person, day);
        if (!fresh) first->second = std::min(first->second, day);
    }
}

void number_recordings(Identity& identity, std::span<const KnownRecording> recordings) {
    using Key = std::tuple<std::size_t, bool, std::chrono::sys_time<std::chrono::milliseconds>, std::string>;
    std::map<Key, std::string> in_order;
    std::set<std::string> seen;
    for (const KnownRecording& recording : recordings) {
        if (!seen.insert(recording.content).second) continue;
        const auto time = recording.start ? recording.start->local : decltype(recording.start->local){};
        const auto person = identity.people.find(recording.person);
        const std::size_t number = person != identity.people.end() ? person->second : 0;
        in_order[{number, !recording.start, time, hash_of(identity, "recording", recording.content)}] =
            recording.content;
    }
    std::map<std::size_t, std::size_t> last;
    for (const auto& [key, content] : in_order) {
        const std::size_t person = std::get<0>(key);
        identity.recordings[content] = {person, ++last[person]};
    }
}

}  // namespace

Identity pseudonymous(std::string key) {
    return {.level = IdentityLevel::pseudonym, .key = std::move(key), .people = {}, .recordings = {}, .first_day = {}};
}

Identity anonymous(std::span<const KnownRecording> recordings) {
    Identity identity{
        .level = IdentityLevel::anonymous, .key = key_of(recordings), .people = {}, .recordings = {}, .first_day = {}};
    number_people(identity, recordings);
    find_first_days(identity, recordings);
    number_recordings(identity, recordings);
    return identity;
}

std::string person_label(const Identity& identity, std::string_view person) {
    if (person.empty() || !identity.hides()) return std::string(person);
    if (identity.level == IdentityLevel::pseudonym)
        return base32_of_hex(hash_of(identity, "person", person), kPersonCharacters);
    const auto number = identity.people.find(std::string(person));
    return number != identity.people.end() ? fmt::format("person-{}", number->second) : "person-other";
}

std::string recording_label(const Identity& identity, std::string_view content) {
    if (!identity.hides()) return std::string(content);
    if (identity.level == IdentityLevel::pseudonym) {
        return "recording-" + shown_hash(identity, content).substr(0, kContentDigits);
    }
    const auto number = identity.recordings.find(std::string(content));
    if (number == identity.recordings.end()) return "recording-other";
    const auto [person, recording] = number->second;
    return person == 0 ? fmt::format("recording-{:02}", recording)
                       : fmt::format("person-{}-recording-{:02}", person, recording);
}

std::optional<CivilTime> shown_start(const Identity& identity, std::string_view person,
                                     std::optional<CivilTime> start) {
    if (!start || identity.level != IdentityLevel::anonymous) return start;
    const auto first = identity.first_day.find(std::string(person));
    if (first == identity.first_day.end() || day_of(*start) < first->second) return std::nullopt;
    return CivilTime{kDayOne + (day_of(*start) - first->second), std::nullopt};
}

std::string shown_word(const Identity& identity, std::string_view kind, std::string_view text) {
    if (!identity.hides() || is_plain(text)) return std::string(text);
    return fmt::format("{}-{}", kind, base32_of_hex(hash_of(identity, kind, lower_letters(text)), kWordCharacters));
}

std::string shown_hash(const Identity& identity, std::string_view sha256) {
    if (!identity.hides() || sha256.empty()) return std::string(sha256);
    return identity.level == IdentityLevel::anonymous ? std::string() : hash_of(identity, "hash", sha256);
}

}  // namespace tracehold
