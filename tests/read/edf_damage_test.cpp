// Bytes that no recorder wrote: files cut anywhere, bits turned anywhere, headers that claim anything.
#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <string>

#include "support/edf_builder.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

BuiltEdf tiny(std::string_view kind) {
    BuiltEdf file = small_edf_plus(kind);
    file.signals[0].samples = 6;
    file.duration = "0.01";
    file.signals[1] = annotation_signal({stamp("+0") + tal("+0.005", "", "contract"), stamp("+0.03")}, 20, file.bdf);
    return file;
}

// What Recording and its channels promise; true if it was read at all.
bool keeps_promises(const Recording& recording) {
    bool ok = !recording.channels.empty();
    for (const Channel& channel : recording.channels) ok = ok && channel.rate.value > 0.0 && !channel.samples.empty();
    for (const Channel& channel : recording.channels) {
        for (const float x : channel.samples) ok = ok && !std::isinf(x);
    }
    for (std::size_t i = 1; i < recording.marks.size(); ++i)
        ok = ok && recording.marks[i - 1].time_s <= recording.marks[i].time_s;
    for (const TimeSpan& gap : recording.gaps)
        ok = ok && gap.length_s() > 0.0 && gap.end_s <= recording.duration_s() + 1e-6;
    for (const Note& note : recording.notes) ok = ok && !note.code.empty() && !note.text.empty();
    return ok;
}

bool says_all(const Error& error) {
    const auto holds = [&](const char* word) { return error.message.find(word) != std::string::npos; };
    return error.source == "f" && error.place.starts_with("byte ") && holds("saw ") && holds("expected ");
}

// Read with every promise kept, or refused with place and seen and wanted.
bool is_sound(std::string_view bytes) {
    try {
        return keeps_promises(read_edf(bytes, "f"));
    } catch (const Error& error) {
        return says_all(error);
    }
}

}  // namespace

TEST_CASE("a file cut at any byte is read or refused with place and seen and wanted") {
    for (const char* kind : {"EDF+C", "EDF+D", "BDF+C", "BDF+D"}) {
        const std::string whole = tiny(kind).bytes();
        std::size_t read = 0;
        for (std::size_t length = 0; length <= whole.size(); ++length) {
            // A copy of exactly that length, so that a checked build notices a step beyond the end.
            const std::string cut(whole.data(), length);
            CAPTURE(length);
            CHECK(is_sound(cut));
            looks_like_edf(cut);
            try {
                read_edf(cut, "f");
                ++read;
            } catch (const Error&) {
            }
        }
        // One whole record is enough: all lengths of the second one, and the whole file.
        const std::size_t record = (whole.size() - 768) / 2;
        CHECK(read == record + 1);
    }
}

TEST_CASE("records that are out of step from some place on are refused there") {
    BuiltEdf file = small_edf_plus("EDF+C");
    file.records = 40;
    std::vector<std::string> stamps;
    for (int record = 0; record < 40; ++record) stamps.push_back(stamp("+" + std::to_string(record)));
    file.signals[1] = annotation_signal(stamps);
    const std::string whole = file.bytes();
    CHECK(read_edf(whole, "s.edf", {}).channels.size() == 1);
    const std::size_t header = 3 * 256, record = (whole.size() - header) / 40;
    const auto refusal_of = [](const std::string& bytes) -> std::string {
        try {
            read_edf(bytes, "s.edf", {});
        } catch (const Error& error) {
            return error.what();
        }
        return "";
    };
    const std::string lost = std::string(whole).erase(header + 20 * record + 7, 1), added = std::string(whole).insert(header + 7, "\r");
    CHECK(refusal_of(lost).find("record 21: the records are out of step from here on") != std::string::npos);
    CHECK(refusal_of(lost).find("of 19 records") != std::string::npos);  // the last one is not whole any more
    CHECK(refusal_of(added).find("record 1: the records are out of step from here on") != std::string::npos);
    stamps.resize(1);
    file.signals[1] = annotation_signal(stamps);  // a recorder that stamps its first record alone
    CHECK(refusal_of(file.bytes()).empty());
}

TEST_CASE("random bytes in a good file never break a promise") {
    std::mt19937 random(20260302);
    for (int round = 0; round < 4000; ++round) {
        std::string bytes = tiny(round % 2 == 0 ? "EDF+D" : "BDF+C").bytes();
        const std::size_t flips = 1 + random() % 8;
        for (std::size_t i = 0; i < flips; ++i) bytes[random() % bytes.size()] = static_cast<char>(random());
        CAPTURE(round);
        CHECK(is_sound(bytes));
    }
}

TEST_CASE("random digits and signs in the number fields never break a promise") {
    // Letters that numbers are made of reach deeper than arbitrary bytes.
    constexpr std::string_view letters = "0123456789+-.,eE \x14\x15";
    std::mt19937 random(17);
    for (int round = 0; round < 4000; ++round) {
        std::string bytes = tiny("EDF+D").bytes();
        const std::size_t changes = 1 + random() % 4;
        for (std::size_t i = 0; i < changes; ++i)
            bytes[168 + random() % (bytes.size() - 168)] = letters[random() % letters.size()];
        CAPTURE(round);
        CHECK(is_sound(bytes));
    }
}

TEST_CASE("hostile claims of a header cost no memory") {
    const std::string good = small_edf().bytes();
    for (const char* claim : {"9e99", "99999999", "1e18", "-9e99", "4294967", "2147483648"}) {
        CHECK(is_sound(patched(good, 472, 8, claim)));
        CHECK(is_sound(patched(good, 236, 8, claim)));
        CHECK(is_sound(patched(good, 244, 8, claim)));
        CHECK(is_sound(patched(good, 184, 8, claim)));
        for (std::size_t field = 360; field < 392; field += 8) CHECK(is_sound(patched(good, field, 8, claim)));
    }
    // Two counts whose sum wraps around 64 bits.
    BuiltEdf two = small_edf();
    two.signals.push_back(two.signals[0]);
    const std::size_t samples = 256 + 216 * 2;
    CHECK(is_sound(patched(patched(two.bytes(), samples, 8, "9e15"), samples + 8, 8, "9e15")));
}

TEST_CASE("empty and foreign bytes are refused") {
    for (const std::string& bytes :
         {std::string{}, std::string{"0"}, std::string(255, ' '), std::string(256, '\0'), std::string(5000, '\xFF'),
          std::string{"\xFF"
                      "BIOSEMI"},
          std::string{"PK\x03\x04"}}) {
        CHECK_THROWS_AS(read_edf(bytes, "f"), Error);
        CHECK(is_sound(bytes));
    }
}
