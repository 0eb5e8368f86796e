#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "exchange/json_text.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_events.hpp"

namespace tracehold {
namespace {

void add_contraction(std::vector<Mark>& events, const Cycle& cycle) {
    events.push_back({cycle.work.begin_s, cycle.work.length_s(),
                      fmt::format("{} {}, {}", to_string(cycle.kind), cycle.index, to_string(cycle.status))});
    if (cycle.onset) events.push_back({cycle.onset->time_s, 0.0, fmt::format("onset {}", cycle.index)});
    if (cycle.offset) events.push_back({cycle.offset->time_s, 0.0, fmt::format("offset {}", cycle.index)});
}

void sort_by_time(std::vector<Mark>& events) {
    std::stable_sort(events.begin(), events.end(), [](const Mark& a, const Mark& b) { return a.time_s < b.time_s; });
}

// ASCII of at most 16 characters, as EDF wants its labels.
std::string edf_label(const std::string& label) {
    std::string out;
    for (const char c : label) {
        const auto byte = static_cast<unsigned char>(c);
        if (byte >= 0x80 && byte < 0xC0) continue;  // the rest of a character of several bytes
        out += byte < 32 || byte > 126 ? '_' : c;
    }
    return out.substr(0, 16);
}

std::string time_or_none(const std::optional<EventTime>& event) {
    return event ? number_text(event->time_s) : std::string("n/a");
}

struct Row {
    double onset_s;
    std::string text;
};

}  // namespace

std::vector<Mark> scored_events(const SessionScore& score) {
    std::vector<Mark> events;
    for (const ScoredCycle& scored : score.cycles) add_contraction(events, scored.cycle);
    for (const Finding& finding : score.quality.findings)
        for (const TimeSpan& span : finding.spans)
            events.push_back({span.begin_s, span.length_s(), fmt::format("found: {}", finding.code)});
    sort_by_time(events);
    return events;
}

Recording scored_recording(const Recording& recording, const CleanRecording& clean, const Envelope& envelope,
                           const SessionScore& score) {
    Recording out = recording;
    for (Channel& channel : out.channels) {
        const std::string label = edf_label(channel.label);
        if (label == channel.label) continue;
        out.notes.push_back({"label_shortened", channel.label, fmt::format("written as '{}'", label)});
        channel.label = label;
    }
    const auto add = [&out](const char* label, Hertz rate, ChannelKind kind, const std::vector<float>& samples) {
        Channel& channel = out.channels.emplace_back();
        channel.label = label;
        channel.rate = rate;
        channel.kind = kind;
        channel.unit = "uV";
        channel.samples = samples;
    };
    add("EMG clean", clean.rate, clean.kind, clean.uv);
    add("EMG envelope", envelope.rate, ChannelKind::envelope, envelope.uv);
    for (Mark& event : scored_events(score)) out.marks.push_back(std::move(event));
    sort_by_time(out.marks);
    return out;
}

std::string trace_csv(const Channel& channel, const CleanRecording& clean, const Envelope& envelope,
                      const SessionScore& score) {
    std::string out = fmt::format("time_s,trace_{},clean_uv,envelope_uv,contraction,phase\n",
                                  channel.kind == ChannelKind::other ? "value" : "uv");
    const auto cell = [](float x) { return std::isfinite(x) ? fmt::format("{}", x) : std::string(); };
    auto cycle = score.cycles.begin();
    for (std::size_t i = 0; i < channel.samples.size(); ++i) {
        const double t = time_of(i, channel.rate);
        while (cycle != score.cycles.end() && t >= std::max(cycle->cycle.rest.end_s, cycle->cycle.work.end_s)) ++cycle;
        out += fmt::format("{},{},{},{},", number_text(t), cell(channel.samples[i]), cell(clean.uv[i]),
                           cell(envelope.uv[i]));
        const bool in_cycle = cycle != score.cycles.end() && t >= cycle->cycle.work.begin_s;
        if (in_cycle) out += std::to_string(cycle->cycle.index);
        out += in_cycle ? (t < cycle->cycle.work.end_s ? ",work\n" : ",rest\n") : ",\n";
    }
    return out;
}

std::string events_tsv(const SessionScore& score) {
    std::vector<Row> rows;
    for (const ScoredCycle& scored : score.cycles) {
        const Cycle& c = scored.cycle;
        rows.push_back({c.work.begin_s, fmt::format("{}\t{}\t{}\t{}\t{}\t{}\n", number_text(c.work.length_s()),
                                                    to_string(c.kind), c.index, to_string(c.status),
                                                    time_or_none(c.onset), time_or_none(c.offset))});
    }
    for (const Finding& finding : score.quality.findings)
        for (const TimeSpan& span : finding.spans)
            rows.push_back({span.begin_s, fmt::format("{}\tfinding\tn/a\t{}\tn/a\tn/a\n", number_text(span.length_s()),
                                                      finding.code)});
    std::stable_sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) { return a.onset_s < b.onset_s; });
    std::string out = "onset\tduration\ttrial_type\tcontraction\tstatus\tactivity_onset\tactivity_offset\n";
    for (const Row& row : rows) out += number_text(row.onset_s) + "\t" + row.text;
    return out;
}

std::string events_description_json(const SessionScore& score) {
    const auto column = [](const char* text, const char* unit = nullptr) {
        Json out{{"Description", text}};
        if (unit != nullptr) out["Units"] = unit;
        return out;
    };
    Json kinds = column("What was asked for in this window, or that a check of the signal named this stretch");
    kinds["Levels"] = {{"hold", "a contraction held for some seconds"},
                       {"rapid", "a short contraction"},
                       {"endurance", "one long contraction"},
                       {"finding", "a stretch that a check of the signal named; most of these are left out of the numbers"}};
    Json status = column("What was found; for a finding, its code");
    status["Levels"] = {{"done", "a contraction was found"},
                        {"missed", "none was found"},
                        {"extra", "a contraction nobody asked for"},
                        {"unusable", "too little valid signal to say"}};
    Json out;
    out["onset"] = column("Begin of the work window or stretch, from the start of the recording", "s");
    out["duration"] = column("Length of the work window or stretch", "s");
    out["trial_type"] = std::move(kinds);
    out["contraction"] = column("Number of the contraction: in order of time, those added by hand after the last");
    out["status"] = std::move(status);
    out["activity_onset"] = column("When the muscle began, from the start of the recording", "s");
    out["activity_offset"] = column("When the muscle had let go, from the start of the recording", "s");
    out["GeneratedBy"] = {{"Name", "tracehold"}, {"Version", kVersion}, {"RecordingSHA256", score.recording.sha256}};
    return out.dump(2) + "\n";
}

}  // namespace tracehold
