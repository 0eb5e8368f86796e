#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <limits>
#include <sstream>

#include "support/made_up_session.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/exchange/write_events.hpp"
#include "tracehold/plan/plan.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

}  // namespace

TEST_CASE("scored events are in order of time and none is a cue mark") {
    const std::vector<Mark> events = scored_events(made_up_session());
    REQUIRE(!events.empty());
    CHECK(std::is_sorted(events.begin(), events.end(), [](const Mark& a, const Mark& b) { return a.time_s < b.time_s; }));
    for (const Mark& event : events) {
        for (const std::string& cue : default_contract_cues()) CHECK(event.text != cue);
        for (const std::string& cue : default_relax_cues()) CHECK(event.text != cue);
    }
}

TEST_CASE("an event file without a signal cannot be scored and says so") {
    const std::string bytes = events_edf(made_up_session());
    CHECK(bytes.substr(192, 5) == "EDF+C");
    CHECK_THROWS_AS(read_recording(bytes, "events.edf"), Error);
}

TEST_CASE("the table of events has a row a contraction and a cell a column") {
    const SessionScore score = made_up_session();
    const auto lines = lines_of(events_tsv(score));
    std::size_t spans = 0;
    for (const Finding& finding : score.quality.findings) spans += finding.spans.size();
    REQUIRE(lines.size() == 1 + score.cycles.size() + spans);
    for (const std::string& line : lines) CHECK(std::count(line.begin(), line.end(), '\t') == 6);
    const auto described = nlohmann::json::parse(events_description_json(score));
    std::istringstream names(lines[0]);
    for (std::string name; std::getline(names, name, '\t');) CHECK(described.contains(name));
}

TEST_CASE("a session without contractions has events with a header alone") {
    SessionScore score = made_up_empty_session();
    score.quality.findings.clear();
    CHECK(scored_events(score).empty());
    CHECK(lines_of(events_tsv(score)).size() == 1);
}

TEST_CASE("the trace as CSV leaves out what is masked and names work and rest") {
    SessionScore score = made_up_empty_session();
    score.cycles.clear();
    ScoredCycle scored;
    scored.cycle.work = {0.1, 0.2};
    scored.cycle.rest = {0.2, 0.3};
    score.cycles.push_back(scored);
    Channel channel;
    channel.rate = Hertz{10.0};
    channel.samples = {1.5F, -2.0F, 3.25F, std::numeric_limits<float>::quiet_NaN()};
    CleanRecording clean;
    clean.uv = {1.0F, std::numeric_limits<float>::quiet_NaN(), 3.0F, 4.0F};
    Envelope envelope;
    envelope.uv = {0.5F, 0.25F, 2.0F, 2.0F};
    CHECK(trace_csv(channel, clean, envelope, score) ==
          "time_s,trace_uv,clean_uv,envelope_uv,contraction,phase\n"
          "0,1.5,1,0.5,,\n"
          "0.1,-2,,0.25,1,work\n"
          "0.2,3.25,3,2,1,rest\n"
          "0.3,,4,2,,\n");
}

TEST_CASE("labels that EDF cannot hold are shortened and told") {
    SessionScore score = made_up_empty_session();
    score.quality.findings.clear();
    Recording recording;
    Channel& channel = recording.channels.emplace_back();
    channel.label = "Beckenboden \xC3\xBC" "ber Elektrode";
    channel.rate = Hertz{10.0};
    channel.samples = {1.0F, 2.0F};
    CleanRecording clean;
    clean.rate = channel.rate;
    clean.uv = channel.samples;
    Envelope envelope;
    envelope.rate = channel.rate;
    envelope.uv = channel.samples;
    const Recording out = scored_recording(recording, clean, envelope, score);
    REQUIRE(out.channels.size() == 3);
    CHECK(out.channels[0].label == "Beckenboden _ber");
    CHECK(out.channels[1].label == "EMG clean");
    CHECK(out.channels[2].kind == ChannelKind::envelope);
    REQUIRE(out.notes.size() == 1);
    CHECK(out.notes[0].code == "label_shortened");
}
