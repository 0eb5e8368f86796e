// Whatever stands in a file, at any place of it, does not get into a message that hides identities: a strange word is
// put into every cell, field and text of each kind of file, one after the other.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <functional>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "support/edf_builder.hpp"
#include "tracehold/identity/hide.hpp"
#include "tracehold/plan/read_plan.hpp"
#include "tracehold/read/corrections.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/read/sessions_list.hpp"

using namespace tracehold;

namespace {

using Json = nlohmann::ordered_json;

// As names are written; the second and third try to end a quotation early.
const std::vector<std::string> kWords = {"Zzcanary",     "Zzcanary's", "x' Zzcanary 'y", "Zzcanary, expected 1",
                                         "saw Zzcanary", "7' Zzcanary"};

struct Tally {
    int messages = 0, shown_with_keep = 0;

    void take(const std::string& kept, const std::string& hidden) {
        ++messages;
        shown_with_keep += kept.find("Zzcanary") != std::string::npos;
        INFO("kept: ", kept, "\nhidden: ", hidden);
        CHECK(hidden.find("Zzcanary") == std::string::npos);
    }
    void take(const Error& error) { take(error.what(), hide(error, "input 1", IdentityLevel::pseudonym).what()); }
    void take(const std::vector<Note>& notes) {
        static const Identity identity = pseudonymous(std::string(32, 'k'));
        for (const Note& note : notes) {
            const Note hidden = hide(note, identity);
            take(note.place + " " + note.text, hidden.place + " " + hidden.text);
        }
    }
    void read(const std::string& bytes, const std::function<void(const std::string&)>& reader) {
        try {
            reader(bytes);
        } catch (const Error& error) {
            take(error);
        }
    }
};

// The text with each piece between separators replaced by the word, one at a time; and with the word before each.
std::vector<std::string> with_word(const std::string& text, const std::string& word) {
    static const std::vector<std::string> kSeparators = {",", "\n", ": "};
    std::vector<std::string> all;
    std::size_t begin = 0;
    while (begin <= text.size()) {
        std::size_t end = text.size(), skip = 1;
        for (const std::string& separator : kSeparators) {
            const std::size_t at = text.find(separator, begin);
            if (at < end) end = at, skip = separator.size();
        }
        all.push_back(text.substr(0, begin) + word + text.substr(end));
        all.push_back(text.substr(0, begin) + word + text.substr(begin));
        begin = end + skip;
    }
    return all;
}

std::string small_csv() {
    std::string text =
        "# person: P-1\n# start: 2026-03-02T07:30\n# rate_hz: 100\n# unit: uV\n# kind: raw\ntime_s,emg_uV,marker\n";
    for (int i = 0; i < 12; ++i)
        text += fmt::format("{:.2f},{},{}\n", 0.01 * i, (i * 7) % 5 - 2, i < 6 ? "rest" : "contract");
    return text;
}

}  // namespace

TEST_CASE("no word of a CSV recording gets into a hidden message") {
    Tally tally;
    const auto reader = [&](const std::string& bytes) { tally.take(read_recording(bytes, "a.csv").notes); };
    for (const std::string& word : kWords) {
        for (const std::string& bytes : with_word(small_csv(), word)) tally.read(bytes, reader);
    }
    tally.read("Zzcanary was here\n", reader);
    CHECK(tally.messages > 300);
    CHECK(tally.shown_with_keep > 100);
}

TEST_CASE("no word of an EDF header gets into a hidden message") {
    Tally tally;
    const std::string whole = test::small_edf_plus().bytes();
    const auto reader = [&](const std::string& bytes) {
        const Recording recording = read_recording(bytes, "a.edf");
        tally.take(recording.notes);
        for (const Channel& channel : recording.channels) tally.take(channel.doubts);
    };
    for (std::size_t at = 0; at + 8 <= 768; at += 4) {
        std::string bytes = whole;
        bytes.replace(at, 8, "Zzcanary");
        tally.read(bytes, reader);
    }
    CHECK(tally.messages > 60);
    CHECK(tally.shown_with_keep > 10);
}

TEST_CASE("no word of a sessions list or of corrections gets into a hidden message") {
    Tally tally;
    const std::string list =
        "file,person,start,posture\na.csv,P-1,2026-03-02,lying\nb.csv,P-1,2026-03-03T07:30,lying\n";
    const std::string corrections =
        "file,action,cycle,from_s,to_s,who,when,why\na.csv,move_onset,1,4.5,,R,2026-03-02,seen\nb.csv,mask,,4.5,6,R,"
        "2026-03-02,noise\n";
    for (const std::string& word : kWords) {
        for (const std::string& bytes : with_word(list, word))
            tally.read(bytes, [](const std::string& text) { read_sessions_list(text, "l.csv"); });
        for (const std::string& bytes : with_word(corrections, word))
            tally.read(bytes, [](const std::string& text) { read_corrections(text, "c.csv"); });
    }
    CHECK(tally.messages > 100);
    CHECK(tally.shown_with_keep > 60);
}

TEST_CASE("no word of a plan gets into a hidden message") {
    Tally tally;
    const auto plan = Json::parse(R"({"schema": "tracehold.plan/1", "name": "A", "posture": "lying",
        "steps": [{"do": "rest", "seconds": 20}, {"do": "hold", "seconds": 8, "rest_seconds": 10, "times": 5}],
        "threshold": {"percent_of_reference": 50}, "targets": {"rest_mean_uv": {"below": 4}}, "channel": "EMG", "accessory_channels": ["Abd"],
        "mains_hz": 50, "cues": {"contract": ["go"], "relax": ["stop"]}, "dose": {"sessions_per_day": 2}, "purpose": "training"})");
    const auto reader = [&](const std::string& text) { tally.take(check_plan(read_plan(text, "p.jsonc"))); };
    for (const std::string& word : kWords) {
        const auto flat = plan.flatten();
        for (const auto& [pointer, value] : flat.items()) {
            auto changed = plan;
            changed[Json::json_pointer(pointer)] = word;
            tally.read(changed.dump(), reader);
            changed = plan;
            auto& parent = changed[Json::json_pointer(pointer).parent_pointer()];
            if (parent.is_object()) parent[word] = value;
            tally.read(changed.dump(), reader);
        }
        for (const std::string& text : with_word(plan.dump(2), word)) tally.read(text, reader);
    }
    CHECK(tally.messages > 300);
    CHECK(tally.shown_with_keep > 150);
}
