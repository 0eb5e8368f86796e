#include "tracehold/identity/hide.hpp"

#include <algorithm>

#include "identity/plain_words.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {
namespace {

std::string content_of(const std::string& sha256, const std::string& source) {
    return sha256.empty() ? source : sha256;
}

// "3" is a channel's number; labels are words.
std::string shown_channel(const Identity& identity, const std::string& label) {
    return parse_whole(label) && label.size() <= 3 ? label : shown_word(identity, "channel", label);
}

std::vector<std::string> shown_words(const Identity& identity, std::string_view kind, std::vector<std::string> words) {
    for (std::string& word : words) word = shown_word(identity, kind, word);
    return words;
}

// Cues that plans without words of their own use stay readable.
std::vector<std::string> shown_cues(const Identity& identity, std::vector<std::string> cues,
                                    const std::vector<std::string>& usual) {
    return cues == usual ? cues : shown_words(identity, "cue", std::move(cues));
}

Plan hide_plan(Plan plan, const Identity& identity) {
    plan.source =
        plan.sha256.empty() ? shown_word(identity, "plan", plan.source) : shown_word(identity, "plan", plan.sha256);
    plan.sha256 = shown_hash(identity, plan.sha256);
    plan.name.clear();
    plan.posture = shown_word(identity, "posture", plan.posture);
    plan.channel = shown_channel(identity, plan.channel);
    for (std::string& label : plan.accessory_channels) label = shown_channel(identity, label);
    plan.contract_cues = shown_cues(identity, std::move(plan.contract_cues), default_contract_cues());
    plan.relax_cues = shown_cues(identity, std::move(plan.relax_cues), default_relax_cues());
    return plan;
}

Given hide_given(Given given, const Identity& identity) {
    given.channel = shown_channel(identity, given.channel);
    given.accessory = shown_channel(identity, given.accessory);
    given.corrections_sha256 = shown_hash(identity, given.corrections_sha256);
    return given;
}

Correction hide_correction(Correction correction, const std::string& recording, const Identity& identity) {
    if (!correction.file.empty()) correction.file = recording;
    correction.who = "not shown";
    const auto when = parse_civil_time(correction.when);
    correction.when = when && identity.level == IdentityLevel::pseudonym ? to_text(*when) : "not shown";
    correction.why.clear();
    return correction;
}

RecordingFacts hide_facts(RecordingFacts facts, const Identity& identity) {
    facts.start = shown_start(identity, facts.person, facts.start);
    facts.source = recording_label(identity, content_of(facts.sha256, facts.source));
    facts.sha256 = shown_hash(identity, facts.sha256);
    facts.person = person_label(identity, facts.person);
    facts.posture = shown_word(identity, "posture", facts.posture);
    facts.site = shown_word(identity, "site", facts.site);
    facts.channel = shown_channel(identity, facts.channel);
    facts.unit = shown_word(identity, "unit", facts.unit);
    return facts;
}

void hide_notes(std::vector<Note>& notes, const Identity& identity) {
    for (Note& note : notes) note = hide(std::move(note), identity);
    if (identity.level == IdentityLevel::anonymous) {
        notes.push_back({"days_counted", "",
                         "dates count days from the person's first recording, which stands as 0001-01-01; times of day "
                         "are left out"});
        notes.push_back({"hashes_left_out", "",
                         "the SHA-256 of the recording, the plan and the corrections are left out: by them alone whoever holds a file could tell that it is "
                         "the one. Who has the recording itself can still score it again and recognise the numbers"});
    } else {
        notes.push_back({"hashes_keyed", "",
                         "the SHA-256 of the recording, the plan and the corrections are hashed once more with the clinic's key: 'verify' with that key "
                         "finds the files. Who has the recording itself can still score it again and recognise the numbers; the start time is kept"});
    }
}

bool is_opening(std::string_view text, std::size_t at) {
    return text[at] == '\'' && (at == 0 || std::string_view(" ([{,:/").find(text[at - 1]) != std::string_view::npos);
}

bool is_closing(std::string_view text, std::size_t at) {
    return text[at] == '\'' &&
           (at + 1 == text.size() || std::string_view(" )]},:;./\n").find(text[at + 1]) != std::string_view::npos);
}

// Foreign text may hold quotes itself: all from the first to the last one goes.
std::string without_quotes(std::string_view text) {
    std::size_t first = 0, last = text.size();
    while (first < text.size() && !is_opening(text, first)) ++first;
    if (first == text.size()) return std::string(text);
    while (last > first + 1 && !is_closing(text, last - 1)) --last;
    const bool closed = last > first + 1;
    return std::string(text.substr(0, first)) + "…" + std::string(closed ? text.substr(last) : "");
}

// "saw X, expected Y" without X.
std::string without_seen(std::string_view text) {
    constexpr std::string_view kSaw = "saw ", kExpected = ", expected";
    const std::size_t saw = text.find(kSaw);
    if (saw == std::string_view::npos) return std::string(text);
    const std::size_t expected = text.rfind(kExpected);
    const bool both = expected != std::string_view::npos && expected > saw;
    return std::string(text.substr(0, saw + kSaw.size())) + "…" + std::string(both ? text.substr(expected) : "");
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// Runs of digits with '-', '.', '/', ':' or 'T' between: three of them, or two with a colon, are a date or a time of
// day.
std::string without_times(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const std::size_t length = std::min(text.find_first_not_of("0123456789-./:T+Z"), text.size());
        const std::string_view run = text.substr(0, std::max<std::size_t>(1, length));
        std::size_t groups = 0;
        for (std::size_t i = 0; i < run.size(); ++i) groups += is_digit(run[i]) && (i == 0 || !is_digit(run[i - 1]));
        const bool moment = groups >= 3 || (groups == 2 && run.find(':') != std::string_view::npos);
        out += moment ? std::string_view("…") : run;
        text.remove_prefix(run.size());
    }
    return out;
}

// Findings are words of this program but for what they quote of the file.
std::string hide_finding(std::string_view text, IdentityLevel level) {
    const std::string hidden = without_quotes(text);
    return level == IdentityLevel::anonymous ? without_times(hidden) : hidden;
}

}  // namespace

std::string hide_quoted(std::string_view message, IdentityLevel level) {
    if (level == IdentityLevel::keep) return std::string(message);
    const std::string hidden = without_seen(without_quotes(message));
    return level == IdentityLevel::anonymous ? without_times(hidden) : hidden;
}

std::string hide_place(std::string_view place) {
    std::string out;
    while (!place.empty()) {
        const std::size_t length = std::min(place.find_first_of(" ,:/"), place.size());
        const std::string_view word = place.substr(0, length);
        if (!word.empty()) out += is_place_word(word) ? word : std::string_view("…");
        if (length < place.size()) out += place[length];
        place.remove_prefix(std::min(length + 1, place.size()));
    }
    return out;
}

Note hide(Note note, const Identity& identity) {
    if (!identity.hides()) return note;
    note.place = hide_place(note.place);
    note.text = hide_quoted(note.text, identity.level);
    return note;
}

Error hide(const Error& error, std::string_view source, IdentityLevel level) {
    if (level == IdentityLevel::keep) return error;
    return Error(error.kind, std::string(source), hide_place(error.place), hide_quoted(error.message, level),
                 error.hint);
}

Recording hide(Recording recording, const Identity& identity) {
    if (!identity.hides()) return recording;
    recording.start = shown_start(identity, recording.person, recording.start);
    recording.source = recording_label(identity, content_of(recording.sha256, recording.source));
    recording.sha256 = shown_hash(identity, recording.sha256);
    recording.person = person_label(identity, recording.person);
    recording.posture = shown_word(identity, "posture", recording.posture);
    for (Channel& channel : recording.channels) {
        channel.label = shown_word(identity, "channel", channel.label);
        channel.unit = shown_word(identity, "unit", channel.unit);
        channel.prefilter.clear();
        for (Note& doubt : channel.doubts) doubt = hide(std::move(doubt), identity);
    }
    for (Mark& mark : recording.marks) mark.text = shown_word(identity, "mark", mark.text);
    hide_notes(recording.notes, identity);
    return recording;
}

SessionScore hide(SessionScore score, const Identity& identity) {
    const bool hidden =
        score.settings.identity == IdentityLevel::anonymous || score.settings.identity == identity.level;
    if (!identity.hides() || hidden) return score;
    score.recording = hide_facts(std::move(score.recording), identity);
    score.settings.given = hide_given(std::move(score.settings.given), identity);
    score.settings.identity = identity.level;
    if (score.plan) score.plan = hide_plan(std::move(*score.plan), identity);
    for (Correction& correction : score.corrections)
        correction = hide_correction(std::move(correction), score.recording.source, identity);
    for (Finding& finding : score.quality.findings) finding.text = hide_finding(finding.text, identity.level);
    hide_notes(score.notes, identity);
    return score;
}

}  // namespace tracehold
