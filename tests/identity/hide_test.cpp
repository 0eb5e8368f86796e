// What stands in for people and recordings, and that nothing of theirs is left.
#include "tracehold/identity/hide.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "tracehold/core/keyed_hash.hpp"
#include "tracehold/core/sha256.hpp"

using namespace tracehold;

namespace {

const std::string kKey(32, 'k');

CivilTime at(const char* text) { return *parse_civil_time(text); }

SessionScore named_score() {
    SessionScore score;
    score.recording = {.source = "/home/Zora/week/zora-1.edf",
                       .sha256 = sha256_hex("one"),
                       .person = "P-014",
                       .start = at("2026-03-02T07:40:00"),
                       .posture = "on Zora's sofa",
                       .site = "Zora House",
                       .channel = "EMG Zora",
                       .unit = "uV"};
    score.settings.given = {.channel = "EMG Zora", .accessory = "2", .corrections_sha256 = sha256_hex("c")};
    score.plan = Plan{.source = "zora.jsonc",
                      .sha256 = sha256_hex("plan"),
                      .name = "Zora's plan",
                      .posture = "lying",
                      .channel = "EMG Zora",
                      .accessory_channels = {"Zora belly"},
                      .contract_cues = {"Zora go"},
                      .relax_cues = default_relax_cues()};
    score.corrections = {
        {.file = "zora-1.edf", .who = "Zora's therapist", .when = "2026-03-03", .why = "Zora coughed"}};
    score.notes = {
        {"channel_differs", "", "the plan names the channel 'Zora's', the only one here is 'Zora' and was taken"}};
    return score;
}

// Every text of a score.
std::string all_texts(const SessionScore& s) {
    std::string text = s.recording.source + s.recording.person + s.recording.posture + s.recording.site +
                       s.recording.channel + s.recording.unit + s.settings.given.channel + s.settings.given.accessory +
                       s.plan->source + s.plan->name + s.plan->posture + s.plan->channel;
    for (const auto* list : {&s.plan->accessory_channels, &s.plan->contract_cues, &s.plan->relax_cues}) {
        for (const std::string& word : *list) text += word;
    }
    for (const Correction& c : s.corrections) text += c.file + c.who + c.when + c.why;
    for (const Note& note : s.notes) text += note.place + note.text;
    return text;
}

Identity anonymous_of_two() {
    return anonymous(std::vector<KnownRecording>{{sha256_hex("one"), "P-014", at("2026-03-02T07:40:00")},
                                                 {sha256_hex("two"), "P-014", at("2026-02-27T19:00:00")},
                                                 {sha256_hex("three"), "P-022", at("2026-01-01T10:00:00")}});
}

}  // namespace

TEST_CASE("a keyed hash is the published one") {
    // RFC 4231, test cases 1, 2 and 6.
    CHECK(keyed_hash_hex(std::string(20, '\x0b'), "Hi There") ==
          "b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7");
    CHECK(keyed_hash_hex("Jefe", "what do ya want for nothing?") ==
          "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843");
    CHECK(keyed_hash_hex(std::string(131, '\xaa'), "Test Using Larger Than Block-Size Key - Hash Key First") ==
          "60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54");
}

TEST_CASE("base 32 takes five bits at a time") {
    CHECK(base32_of_hex("00443214c7", 8) == "01234567");  // 00000 00001 00010 ... 00111 by hand
    CHECK(base32_of_hex("ffffffffff", 8) == "zzzzzzzz");
    CHECK(base32_of_hex("f8", 1) == "z");
    CHECK(bytes_of_hex("00fF") == std::string("\0\xff", 2));
    CHECK(bytes_of_hex("0").empty());
    CHECK(bytes_of_hex("0g").empty());
}

TEST_CASE("keep changes nothing") {
    const SessionScore score = named_score(), kept = hide(score, Identity{});
    CHECK(all_texts(kept) == all_texts(score));
    CHECK(kept.recording.start == score.recording.start);
    CHECK(kept.recording.sha256 == score.recording.sha256);
    CHECK(kept.notes == score.notes);
}

TEST_CASE("no word of a name is left in a hidden score") {
    for (const Identity& identity : {pseudonymous(kKey), anonymous_of_two()}) {
        const std::string texts = all_texts(hide(named_score(), identity));
        INFO(texts);
        for (const char* word : {"Zora", "zora", "P-014", "sofa", "belly", "cough"})
            CHECK(texts.find(word) == std::string::npos);
        CHECK(texts.find("lying") != std::string::npos);  // words of the trade stay
    }
}

TEST_CASE("a pseudonym is the same for the same person and key and different for any other") {
    const Identity mine = pseudonymous(kKey), other = pseudonymous(std::string(32, 'l'));
    CHECK(person_label(mine, "P-014").size() == 16);
    CHECK(person_label(mine, "P-014") == person_label(pseudonymous(kKey), "P-014"));
    CHECK(person_label(mine, "P-014") != person_label(other, "P-014"));
    CHECK(person_label(mine, "") == "");
    std::set<std::string> labels;
    for (int i = 0; i < 20000; ++i) labels.insert(person_label(mine, std::to_string(i)));
    CHECK(labels.size() == 20000);
    CHECK(shown_word(mine, "site", "P-014").find(person_label(mine, "P-014").substr(0, 8)) ==
          std::string::npos);  // each kind its own
}

TEST_CASE("under a pseudonym dates stay and no hash of a file does") {
    const SessionScore score = named_score(), hidden = hide(score, pseudonymous(kKey));
    CHECK(hidden.settings.identity == IdentityLevel::pseudonym);
    CHECK(hidden.recording.start == score.recording.start);
    CHECK(hidden.recording.sha256 == keyed_hash_hex(kKey, std::string("tracehold.hash/1") + '\0' + score.recording.sha256));
    CHECK(hidden.recording.source == "recording-" + hidden.recording.sha256.substr(0, 12));
    CHECK(hidden.recording.sha256 != hide(score, pseudonymous(std::string(32, 'l'))).recording.sha256);
    CHECK(hidden.notes.back().code == "hashes_keyed");
    CHECK(hidden.plan->sha256.size() == 64);
    CHECK(hidden.plan->sha256 != score.plan->sha256);
    CHECK(hidden.settings.given.corrections_sha256 != score.settings.given.corrections_sha256);
    CHECK(hidden.recording.channel == hidden.plan->channel);  // the same word, the same stand-in
    CHECK(hidden.settings.given.accessory == "2");
}

TEST_CASE("anonymous recordings have numbers and days and no hash") {
    const Identity identity = anonymous_of_two();
    const SessionScore hidden = hide(named_score(), identity);
    const std::string person = person_label(identity, "P-014");
    CHECK((person == "person-1" || person == "person-2"));
    CHECK(person != person_label(identity, "P-022"));
    CHECK(hidden.recording.person == person);
    CHECK(hidden.recording.source == person + "-recording-02");  // two days and a half after the first
    CHECK(to_text(*hidden.recording.start) == "0001-01-04T00:00:00");
    CHECK(hidden.recording.sha256.empty());
    CHECK(hidden.plan->sha256.empty());
    CHECK(hidden.notes.back().code == "hashes_left_out");
    CHECK(hidden.notes[hidden.notes.size() - 2].code == "days_counted");
    CHECK(person_label(identity, "P-099") == "person-other");
    CHECK_FALSE(shown_start(identity, "P-099", at("2026-03-02T07:40:00")));
    CHECK_FALSE(shown_start(identity, "P-014", at("1985-01-01T07:40:00")));
    CHECK(anonymous(std::vector<KnownRecording>{{"a", "P", at("1985-01-01")}, {"b", "P", at("2026-03-02")}})
              .first_day.at("P") == std::chrono::year{2026} / 3 / 2);
}

TEST_CASE("the order of the input decides no number") {
    std::vector<KnownRecording> recordings;
    for (int i = 0; i < 40; ++i)
        recordings.push_back({sha256_hex(std::to_string(i)), "P-" + std::to_string(100 + i), at("2026-03-02")});
    const Identity forward = anonymous(recordings);
    std::reverse(recordings.begin(), recordings.end());
    const Identity backward = anonymous(recordings);
    CHECK(forward.people == backward.people);
    CHECK(forward.recordings == backward.recordings);
    std::size_t in_place = 0;  // numbers by the alphabet would be in place 40 times, by chance once
    for (int i = 0; i < 40; ++i) in_place += forward.people.at("P-" + std::to_string(100 + i)) == std::size_t(i + 1);
    CHECK(in_place < 8);
}

TEST_CASE("hiding twice is hiding once") {
    const Identity identity = pseudonymous(kKey);
    const SessionScore once = hide(named_score(), identity);
    CHECK(all_texts(hide(once, identity)) == all_texts(once));
    const SessionScore anonymous_score = hide(once, anonymous_of_two());
    CHECK(anonymous_score.settings.identity == IdentityLevel::anonymous);
    CHECK(all_texts(hide(anonymous_score, identity)) == all_texts(anonymous_score));
}

TEST_CASE("messages lose what they quote and keep what was wanted") {
    const auto hidden = [](const char* text) { return hide_quoted(text, IdentityLevel::pseudonym); };
    CHECK(hidden("not a number in 'EMG': saw 'Zora', expected a number") == "not a number in …, expected a number");
    CHECK(hidden("saw 'O'Neill, Zora', expected one") == "saw …, expected one");
    CHECK(hidden("not JSON: saw Zora, expected a value, expected by all, expected }") == "not JSON: saw …, expected }");
    CHECK(hidden("not a rate: saw Zora") == "not a rate: saw …");
    CHECK(hidden("the recording names no posture, the plan's was taken") ==
          "the recording names no posture, the plan's was taken");
    CHECK(hidden("no channel 'Zora'; did you mean 'Zara'?: the file has 1 'Zara', 2 'Cora'") == "no channel …");
    CHECK(hidden("an open 'quote of Zora") == "an open …");
    CHECK(hide_quoted("as it was: saw 'Zora'", IdentityLevel::keep) == "as it was: saw 'Zora'");
}

TEST_CASE("anonymous messages lose dates and times of day and keep measures") {
    const auto hidden = [](const char* text) { return hide_quoted(text, IdentityLevel::anonymous); };
    CHECK(hidden("it began 2026-03-02T07:40:00, the list says 02.03.26 at 7:40") == "it began …, the list says … at …");
    CHECK(hidden("expected at most 20 of 60 s, 3.5 Hz, 1-2") == "expected at most 20 of 60 s, 3.5 Hz, 1-2");
}

TEST_CASE("places keep numbers and the words of readers") {
    CHECK(hide_place("12:3") == "12:3");
    CHECK(hide_place("byte 184, record count") == "byte 184, record count");
    CHECK(hide_place("/steps/2/seconds") == "/steps/2/seconds");
    CHECK(hide_place("/targets/zora") == "/targets/…");
    CHECK(hide_place("column 'reviewed', Zora 1.csv") == "column …, … …");
}
