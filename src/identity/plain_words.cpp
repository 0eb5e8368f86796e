#include "identity/plain_words.hpp"

#include <algorithm>
#include <array>

namespace tracehold {
namespace {

// Muscles, signals, postures, cues and units as recorders and plans name them. Our choice; a word that is missing costs
// its reader a readable label, a name among them would cost more.
constexpr auto kTradeWords = std::to_array<std::string_view>(
    {"%",           "abd",          "abdomen",     "abdominal", "abdominals", "acc",     "accessory", "adductor",
     "all",         "anal",         "au",          "back",      "begin",      "belly",   "bladder",   "bpm",
     "break",       "bridge",       "ch",          "chair",     "channel",    "clean",   "cmh2o",     "cough",
     "contract",    "contraction",  "couché",      "crook",     "cue",        "debout",  "deg",       "ecg",
     "eeg",         "electrode",    "emg",         "end",       "endurance",  "env",     "envelope",  "event",
     "external",    "extern",       "flat",        "floor",     "fours",      "front",   "glut",      "gluteal",
     "gluteus",     "go",           "ground",      "half",      "hip",        "hold",    "hz",        "internal",
     "intraanal",   "intravaginal", "knee",        "kneeling",  "knees",      "left",    "levator",   "liegend",
     "lying",       "marker",       "mmhg",        "muscle",    "muscles",    "mv",      "oblique",   "off",
     "on",          "pause",        "pelvic",      "perineal",  "perineum",   "pf",      "pfm",       "position",
     "pressure",    "prone",        "quick",       "rapid",     "raw",        "rectal",  "rectified", "rectus",
     "ref",         "reference",    "relax",       "release",   "resp",       "rest",    "right",     "rms",
     "s",           "semg",         "side",        "signal",    "sitting",    "sitzend", "sphincter", "squat",
     "squatting",   "standing",     "start",       "stehend",   "step",       "stop",    "supine",    "temp",
     "temperature", "trace",        "transversus", "trigger",   "uv",         "v",       "vaginal",   "voltage",
     "walking",     "work",         "x",           "y",         "z",          "µv",      "μv"});

constexpr auto kPlaceWords = std::to_array<std::string_view>({"above",
                                                              "accessory_channels",
                                                              "annotation",
                                                              "annotations",
                                                              "below",
                                                              "byte",
                                                              "bytes",
                                                              "cell",
                                                              "channel",
                                                              "channels",
                                                              "channel_labels",
                                                              "column",
                                                              "columns",
                                                              "contract",
                                                              "corrections",
                                                              "count",
                                                              "cue",
                                                              "cues",
                                                              "cycle",
                                                              "cycles",
                                                              "data",
                                                              "date",
                                                              "days_per_week",
                                                              "digital",
                                                              "dimension",
                                                              "do",
                                                              "dose",
                                                              "duration",
                                                              "field",
                                                              "file",
                                                              "format",
                                                              "from_s",
                                                              "header",
                                                              "index",
                                                              "kind",
                                                              "label",
                                                              "line",
                                                              "mains_hz",
                                                              "marks",
                                                              "maximum",
                                                              "measures",
                                                              "microvolts",
                                                              "minimum",
                                                              "name",
                                                              "notes",
                                                              "number",
                                                              "of",
                                                              "patient",
                                                              "percent_of_reference",
                                                              "person",
                                                              "physical",
                                                              "plan",
                                                              "plans",
                                                              "posture",
                                                              "prefiltering",
                                                              "purpose",
                                                              "quality",
                                                              "rate",
                                                              "record",
                                                              "recording",
                                                              "records",
                                                              "reference_uv",
                                                              "relax",
                                                              "reserved",
                                                              "rest_seconds",
                                                              "row",
                                                              "rows",
                                                              "rules",
                                                              "samples",
                                                              "schema",
                                                              "seconds",
                                                              "session",
                                                              "sessions",
                                                              "sessions_per_day",
                                                              "settings",
                                                              "sha256",
                                                              "signal",
                                                              "signals",
                                                              "source",
                                                              "start",
                                                              "step",
                                                              "steps",
                                                              "targets",
                                                              "threshold",
                                                              "time",
                                                              "times",
                                                              "to_s",
                                                              "tool",
                                                              "transducer",
                                                              "type",
                                                              "version",
                                                              "weeks",
                                                              "when",
                                                              "who"});

bool is_word_character(unsigned char c) {
    return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || c >= 0x80 || c == '%';
}

bool is_number(std::string_view word) {
    return std::all_of(word.begin(), word.end(), [](char c) { return c >= '0' && c <= '9'; });
}

template <class List>
bool holds(const List& list, std::string_view word) {
    return std::find(list.begin(), list.end(), word) != list.end();
}

}  // namespace

std::string lower_letters(std::string_view text) {
    std::string lower(text);
    for (char& c : lower) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    return lower;
}

bool is_plain(std::string_view text) {
    const std::string lower = lower_letters(text);
    std::string_view rest = lower;
    int numbers = 0;
    while (!rest.empty()) {
        const auto end = std::find_if_not(rest.begin(), rest.end(),
                                          [](char c) { return is_word_character(static_cast<unsigned char>(c)); });
        const std::string_view word = rest.substr(0, static_cast<std::size_t>(end - rest.begin()));
        rest.remove_prefix(std::max<std::size_t>(1, word.size()));
        if (word.empty()) continue;
        const bool number = is_number(word);
        numbers += number;
        if (number ? word.size() > 2 || numbers > 1 : !holds(kTradeWords, word)) return false;
    }
    return true;
}

bool is_place_word(std::string_view word) { return is_number(word) || holds(kPlaceWords, word); }

}  // namespace tracehold
