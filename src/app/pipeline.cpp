#include "app/pipeline.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "app/byte_source.hpp"
#include "app/choose_channel.hpp"
#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/cycles/find_cycles.hpp"
#include "tracehold/envelope/follow_envelope.hpp"
#include "tracehold/identity/hide.hpp"
#include "tracehold/measures/score_session.hpp"
#include "tracehold/read/listed_file.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold {
namespace {

namespace fs = std::filesystem;

// What the list says beats what the file says; a contradiction is told.
void overrule(std::string& of_file, const std::string& of_list, const char* what, std::vector<Note>& notes) {
    if (of_list.empty() || of_list == of_file) return;
    if (!of_file.empty()) {
        notes.push_back({fmt::format("{}_overruled", what), "",
                         fmt::format("the file and the sessions list give a different {}, the list was taken", what)});
    }
    of_file = of_list;
}

void apply_entry(const SessionEntry& entry, Recording& recording) {
    overrule(recording.person, entry.person, "person", recording.notes);
    overrule(recording.posture, entry.posture, "posture", recording.notes);
    const std::optional<CivilTime> start = start_of(entry, recording.start);
    if (start == recording.start) return;
    if (recording.start) {
        recording.notes.push_back({"start_overruled", "", fmt::format("the file says it began {}, the sessions list {}; the list was taken",
                                                                     to_text(*recording.start), to_text(*start))});
    }
    if (entry.day_alone) recording.notes.push_back({"start_day_alone", "", "the sessions list names a day without a time: it was taken to begin at midnight"});
    recording.start = start;
}

// No clock is asked here, so that the same file scores alike on any day.
void doubt_start(Recording& recording) {
    using namespace std::chrono;
    constexpr sys_days kEarliest = year{2000} / 1 / 1, kLatest = year{2100} / 1 / 1;  // our choices
    if (!recording.start) return;
    const auto dated = [&](const char* why) { return fmt::format("dated '{}': {}", date_text(*recording.start), why); };
    if (recording.start->local >= kLatest) {
        recording.notes.push_back({"start_impossible", "", dated("the recorder's clock was wrong, or the date is"), true});
    } else if (recording.start->local < kEarliest) {  // EDF asks for 1985-01-01 where the date is to be hidden: no doubt of the signal
        recording.notes.push_back({"start_not_set", "", dated("the recorder's clock was never set, or the date is hidden; courses and audits leave it out")});
    }
}

// The person lay, sat or stood as the plan asks unless somebody said otherwise.
void settle_posture(Assignment& assignment) {
    if (!assignment.plan) return;
    Recording& recording = assignment.recording;
    if (recording.posture.empty()) {
        recording.posture = assignment.plan->posture;
        recording.notes.push_back({"posture_from_plan", "", "the recording names no posture, the plan's was taken"});
    } else if (recording.posture != assignment.plan->posture) {
        recording.notes.push_back({"posture_differs", "", fmt::format("recorded '{}', planned '{}'", shown(recording.posture), shown(assignment.plan->posture))});
    }
}

// The plan's channel, or the only one there is under another name: home recorders seldom name it as the clinic does.
void settle_channel(Assignment& assignment) {
    if (!assignment.channel.empty() || !assignment.plan || assignment.plan->channel.empty()) return;
    const std::string& planned = assignment.plan->channel;
    Recording& recording = assignment.recording;
    if (recording.channels.size() > 1 || has_channel(recording, planned)) {
        assignment.channel = planned;
    } else {
        recording.notes.push_back({"channel_differs", "", fmt::format("the plan names the channel '{}', the only one here is '{}' and was taken; --channel settles it",
                                                                     shown(planned), shown(recording.channels[0].label)), true});
    }
}

// A plan's accessory that is not among several channels is likelier misspelt than not worn.
void note_missing_accessory(Assignment& assignment) {
    Recording& recording = assignment.recording;
    if (!assignment.accessory.empty() || !assignment.plan || recording.channels.size() < 2) return;
    const std::vector<std::string>& planned = assignment.plan->accessory_channels;
    if (planned.empty() || std::any_of(planned.begin(), planned.end(), [&](const std::string& label) { return has_channel(recording, label); })) return;
    std::vector<std::string_view> labels;
    for (const Channel& channel : recording.channels) labels.push_back(channel.label);
    recording.notes.push_back({"accessory_not_here", "", fmt::format("the plan names the accessory channel '{}', which is not among the channels here{}: nothing is "
                                                                    "said of another muscle", shown(planned[0]), did_you_mean(planned[0], labels))});
}

// Where nobody named the channel, what its label says is all there is to go by.
void doubt_other_sources(Assignment& assignment) {
    if (!assignment.channel.empty()) return;
    for (Channel& channel : assignment.recording.channels) {
        if (!names_another_source(channel.label)) continue;
        channel.doubts.push_back({"other_source", "", fmt::format("the label '{}' names another source than the pelvic floor, and it was taken "
                                                                  "as the only one; --channel settles it", shown(channel.label)), true});
    }
}

RecordingFacts facts_of(const Assignment& assignment, const Channel& channel) {
    const Recording& recording = assignment.recording;
    return {.source = recording.source, .sha256 = recording.sha256, .format = recording.format, .person = recording.person,
            .start = recording.start, .posture = recording.posture, .site = assignment.site,
            .duration_s = recording.duration_s(), .channel = channel.label, .rate_hz = channel.rate.value,
            .kind = channel.kind, .unit = channel.unit};
}

std::vector<TimeSpan> masks_in(const std::vector<Correction>& corrections) {
    std::vector<TimeSpan> spans;
    for (const Correction& correction : corrections) {
        if (correction.action == CorrectionAction::mask) spans.push_back({correction.from_s, correction.to_s});
    }
    return spans;
}

}  // namespace

ScoreSettings score_settings(const Options& options, const Plan* plan) {
    ScoreSettings settings;
    if (plan != nullptr && plan->mains_hz) {
        settings.clean.mains = *plan->mains_hz == 60.0 ? MainsRemoval::hz60 : MainsRemoval::hz50;
    }
    if (options.mains) settings.clean.mains = *options.mains;
    settings.envelope.method = options.envelope;
    settings.envelope.subtract_noise_floor = options.subtract_noise;
    settings.envelope.subtract_baseline = options.subtract_baseline;
    if (options.start_s) settings.cycles.start = Seconds{*options.start_s};
    return settings;
}

Assignment prepare(const std::string& path, const Options& options, const Companions& companions) {
    Assignment assignment{.plan = companions.plan, .channel = options.channel, .accessory = options.accessory};
    assignment.identity = &companions.identity;
    Given& given = assignment.given;
    const std::string base_name = fs::path(path).filename().string();
    const auto refuse_namesake = [&](const std::string& file, const char* list) {
        if (listed_as(file, path) != ListedAs::base_name || !companions.namesakes.contains(base_name)) return;
        throw Error(ErrorKind::bad_setting, path, "", fmt::format("{} of '{}', and several recordings of this call are called so", list, shown(file)),
                    "write the folder before the name in the list");
    };
    if (const SessionEntry* entry = find_entry(companions.sessions, path)) {
        refuse_namesake(entry->file, "the sessions list speaks");
        assignment.entry = *entry;
        if (!entry->plan.empty()) assignment.plan = read_plan_file(plan_of(*entry, companions), "the sessions list names this plan; it is looked for from the list's folder");
        if (options.channel.empty()) assignment.channel = entry->channel;
        assignment.site = entry->site;
        given.person = !entry->person.empty();
        given.start = entry->start.has_value();
        given.posture = !entry->posture.empty();
    }
    given.channel = assignment.channel;
    given.accessory = options.accessory;
    given.rate_hz = options.rate_hz;
    given.unit = options.unit;
    given.kind = options.kind;
    for (const Correction& correction : companions.corrections) {
        if (!correction.file.empty() && listed_as(correction.file, path) == ListedAs::another) continue;
        refuse_namesake(correction.file, "the corrections speak");
        assignment.corrections.push_back(correction);
    }
    if (!assignment.corrections.empty()) given.corrections_sha256 = companions.corrections_sha256;
    return assignment;
}

void add_recording(Assignment& assignment, std::string_view bytes, const std::string& path) {
    const Given& given = assignment.given;
    ReadSettings settings{.rate = {}, .unit = given.unit, .kind = given.kind};
    if (given.rate_hz) settings.rate = Hertz{*given.rate_hz};
    assignment.recording = read_recording(bytes, path, settings);
    if (assignment.entry) apply_entry(*assignment.entry, assignment.recording);
    doubt_start(assignment.recording);
    settle_channel(assignment);
    note_missing_accessory(assignment);
    doubt_other_sources(assignment);
    settle_posture(assignment);
}

Assignment assign(const std::string& path, const Options& options, const Companions& companions) {
    return assign_bytes(read_input(path), path, options, companions);
}

Assignment assign_bytes(std::string_view bytes, const std::string& path, const Options& options, const Companions& companions) {
    Assignment assignment = prepare(path, options, companions);
    add_recording(assignment, bytes, path);
    return assignment;
}

ScoreSettings settings_for(const Assignment& assignment, const ScoreSettings& base) {
    ScoreSettings settings = base;
    settings.clean.mask = masks_in(assignment.corrections);
    settings.given = assignment.given;
    return settings;
}

namespace {

Scored scored(Assignment& assignment, const ScoreSettings& base) {
    Recording& recording = assignment.recording;
    const Plan* plan = assignment.plan ? &*assignment.plan : nullptr;
    const std::vector<std::string> accessories = plan != nullptr ? plan->accessory_channels : std::vector<std::string>{};
    const std::size_t channel = choose_channel(recording, assignment.channel, accessories);
    const std::optional<std::size_t> accessory = assignment.accessory.empty()
                                                     ? choose_accessory(recording, accessories, channel)
                                                     : find_accessory(recording, assignment.accessory, channel);
    const ScoreSettings settings = settings_for(assignment, base);
    const RecordingFacts facts = facts_of(assignment, recording.channels[channel]);
    const auto let_go_of = [&](auto number_fits) {  // memory: hours of samples that nothing looks at any more
        for (std::size_t i = 0; i < recording.channels.size(); ++i)
            if (number_fits(i)) std::vector<float>().swap(recording.channels[i].samples);
    };
    let_go_of([&](std::size_t i) { return i != channel && i != accessory; });

    CleanRecording clean = clean_recording(recording, channel, settings.clean);
    Envelope envelope = follow_envelope(clean, settings.envelope);
    std::optional<CleanRecording> clean_beside;
    std::optional<Envelope> beside;
    if (accessory) {
        clean_beside = clean_recording(recording, *accessory, settings.clean);
        beside = follow_envelope(*clean_beside, settings.envelope);
    }
    let_go_of([](std::size_t) { return true; });  // the clean trace is enough from here on
    const Cycles cycles = find_cycles({.clean = clean, .envelope = envelope, .marks = recording.marks, .plan = plan,
                                       .corrections = assignment.corrections},
                                      settings.cycles);
    SessionScore score = score_session({.recording = facts,
                                        .notes = recording.notes, .clean = clean, .envelope = envelope, .cycles = cycles,
                                        .plan = plan, .accessory = beside ? &*beside : nullptr,
                                        .accessory_trace = clean_beside ? &*clean_beside : nullptr,
                                        .corrections = assignment.corrections, .settings = settings});
    if (assignment.identity != nullptr) score = hide(std::move(score), *assignment.identity);
    return {std::move(score), channel, std::move(clean), std::move(envelope)};
}

}  // namespace

Error rejection(const SessionScore& score) {
    const auto& findings = score.quality.findings;
    const auto why = std::find_if(findings.begin(), findings.end(), [](const Finding& finding) { return finding.severity == Severity::reject; });
    return Error(ErrorKind::unsupported, score.recording.source, "signal",
                 "cannot be scored: " + (why != findings.end() ? why->text : std::string("the signal was rejected")));
}

// A room that is handed samples does not know their file.
Scored score_recording(Assignment assignment, const ScoreSettings& base) {
    try {
        return scored(assignment, base);
    } catch (const Error& error) {
        if (!error.source.empty()) throw;
        throw Error(error.kind, assignment.recording.source, error.place, error.message, error.hint);
    }
}

}  // namespace tracehold
