// Real surface EMG of limb muscles. The counts are what a person sees in pictures of the traces; the makers of the
// files give none. The movements of the lower-limb files (Sanchez & Sotelo 2014, UCI, doi 10.24432/C5ZW3P) were counted
// in their knee angle.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/cycles/find_cycles.hpp"
#include "tracehold/envelope/follow_envelope.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;

namespace {

struct Open {
    std::string file;
    std::size_t channel = 0;
    std::size_t contractions = 0;
};

Cycles cycles_of(const std::string& folder, const std::string& file, std::size_t channel) {
    const std::string path = folder + "/emg/" + file;
    ReadSettings settings;
    settings.rate = Hertz{1000.0};  // some of the files do not say it
    const Recording recording = read_recording(read_bytes(path), file, settings);
    const CleanRecording clean = clean_recording(recording, channel);
    const Envelope envelope = follow_envelope(clean);
    return find_cycles({clean, envelope, {}, nullptr, {}});
}

const char* open_recordings() {
    const char* folder = std::getenv("TRACEHOLD_OPEN_RECORDINGS");
    if (!folder) MESSAGE("skipped: no open recordings");
    return folder;
}

}  // namespace

TEST_CASE("the contractions of open recordings are found without a plan") {
    const char* folder = open_recordings();
    if (!folder) return;
    const Open recordings[] = {
        {"bsnb_emg_bursts.csv", 0, 9}, {"bsnb_emg_fatigue.csv", 0, 30}, {"bsnb_emg_1000_hz_16_bits_solo.csv", 0, 21},
        {"uci_10Nsen.txt", 0, 5},      {"uci_6Asen.txt", 0, 6},         {"uci_8Nsen.txt", 0, 4},
        {"uci_4Npie.txt", 1, 4},       {"uci_4Apie.txt", 1, 3},         {"uci_5Apie.txt", 1, 5}};
    for (const Open& open : recordings) {
        CAPTURE(open.file);
        const Cycles found = cycles_of(folder, open.file, open.channel);
        CHECK(found.from == CueSource::trace);
        CHECK(found.cycles.size() == open.contractions);
        for (const Cycle& cycle : found.cycles) CHECK(cycle.status == CycleStatus::done);
    }
}

TEST_CASE("what nobody asked for cannot be missed") {
    const char* folder = open_recordings();
    if (!folder) return;
    // The muscle that works against the movement: crests hardly above its rest, one of them not above it.
    for (const auto& [file, channel] : {std::pair{"uci_4Npie.txt", 0}, std::pair{"uci_6Asen.txt", 3}}) {
        CAPTURE(file);
        const Cycles found = cycles_of(folder, file, static_cast<std::size_t>(channel));
        CHECK(!found.cycles.empty());
        for (const Cycle& cycle : found.cycles) CHECK(cycle.status != CycleStatus::missed);
    }
}

TEST_CASE("the flicks of an open recording are short and called rapid") {
    const char* folder = open_recordings();
    if (!folder) return;
    for (const Cycle& cycle : cycles_of(folder, "bsnb_emg_1000_hz_16_bits_solo.csv", 0).cycles) {
        CHECK(cycle.kind == StepKind::rapid);
        CHECK(cycle.work.length_s() >= 0.2);
        CHECK(cycle.work.length_s() <= 0.8);
    }
}

// A person sees the trace rise to 1.6 times rest between about 36 and 41 s and between 49 and 58 s, and a spike near 95
// s.
TEST_CASE("the two faint contractions of a weak recording are found and little else") {
    const char* folder = open_recordings();
    if (!folder) return;
    const Cycles found = cycles_of(folder, "weak_emg_counts.txt", 0);
    const auto covers = [&](double from, double to) {
        for (const Cycle& cycle : found.cycles) {
            if (cycle.work.begin_s < from && cycle.work.end_s > to) return true;
        }
        return false;
    };
    CHECK(covers(37.0, 40.0));
    CHECK(covers(50.5, 57.0));
    CHECK(found.cycles.size() <= 4);
}

// Looked at one by one, trace and 50-ms RMS on a scale of seconds: the stretch in which a person would put the first
// and the last activity. Where the muscle swells out of nothing, as in the slow movements, the stretch is wide.
TEST_CASE("onsets and offsets of open recordings lie where a person sees them") {
    const char* folder = open_recordings();
    if (!folder) return;
    struct Seen {
        std::string file;
        std::size_t channel = 0;
        std::vector<TimeSpan> onsets, offsets;
    };
    const Seen recordings[] = {
        {"uci_10Nsen.txt",
         0,
         {{1.0, 1.25}, {6.5, 6.75}, {12.0, 12.35}, {18.0, 18.45}, {23.9, 24.3}},
         {{4.5, 4.75}, {9.8, 10.2}, {15.7, 16.0}, {21.7, 22.0}, {27.4, 27.8}}},
        {"uci_4Apie.txt", 1, {{1.6, 2.3}, {11.3, 11.7}, {24.5, 25.1}}, {{7.7, 8.2}, {18.1, 18.7}, {32.4, 33.0}}},
        {"uci_8Nsen.txt",
         0,
         {{4.5, 5.2}, {9.1, 9.8}, {14.0, 14.8}, {19.0, 19.8}},
         {{7.8, 8.2}, {12.5, 12.8}, {17.3, 17.8}, {22.6, 22.9}}},
        {"bsnb_emg_1000_hz_16_bits_solo.csv",
         0,
         {{2.45, 2.52},   {6.55, 6.63},   {11.92, 11.98}, {15.55, 15.65}, {19.05, 19.15}, {23.05, 23.35},
          {26.1, 26.5},   {29.4, 29.6},   {34.85, 35.0},  {39.9, 39.97},  {43.45, 43.52}, {49.8, 49.92},
          {53.35, 53.43}, {57.2, 57.28},  {60.25, 60.33}, {62.18, 62.3},  {65.47, 65.55}, {68.6, 68.68},
          {71.82, 71.9},  {77.65, 77.73}, {79.66, 79.75}},
         {{2.66, 2.76},   {6.7, 6.8},     {12.08, 12.2}, {15.82, 15.92}, {19.36, 19.46}, {23.44, 23.55},
          {26.67, 26.78}, {29.76, 29.86}, {35.08, 35.2}, {40.05, 40.15}, {43.6, 43.72},  {49.98, 50.1},
          {53.5, 53.6},   {57.37, 57.48}, {60.39, 60.5}, {62.4, 62.55},  {65.63, 65.75}, {68.83, 68.94},
          {71.97, 72.08}, {77.84, 77.96}, {79.83, 79.96}}}};
    for (const Seen& seen : recordings) {
        const Cycles found = cycles_of(folder, seen.file, seen.channel);
        REQUIRE(found.cycles.size() == seen.onsets.size());
        for (std::size_t i = 0; i < found.cycles.size(); ++i) {
            CAPTURE(seen.file);
            CAPTURE(i);
            REQUIRE(found.cycles[i].onset);
            REQUIRE(found.cycles[i].offset);
            CHECK(found.cycles[i].onset->time_s > seen.onsets[i].begin_s);
            CHECK(found.cycles[i].onset->time_s < seen.onsets[i].end_s);
            CHECK(found.cycles[i].offset->time_s > seen.offsets[i].begin_s);
            CHECK(found.cycles[i].offset->time_s < seen.offsets[i].end_s);
        }
    }
}

// Looked at in the same way, the times of the pictures written down before those of the program were looked at. tolerance_s: what the
// program may lie beside the stretch. It takes the low swell before a rise and after a fall for part of the contraction: in the
// bursts (rest of 5 uV, rises that begin with single spikes) it begins up to 0.2 s before what a person calls the first activity,
// and five of its eight onset intervals reach that. None: it gives no time and says why, where the contraction had begun before the
// recording (5Apie) or swells out of rest (weak); also where rest is restless beside it (bursts), although a person sees the fourth
// end between 12.5 and 12.8 s and the fifth last from 14.1-14.5 to 15.5-15.7 s, and where a swell follows a fall at once (fatigue), although
// a person sees the nineteenth end between 76.68 and 76.77 s.
TEST_CASE("times of the other open recordings lie near where a person sees them, or are not given") {
    const char* folder = open_recordings();
    if (!folder) return;
    using Stretch = std::optional<TimeSpan>;
    struct Seen {
        std::string file;
        std::size_t channel = 0;
        double tolerance_s = 0.0;
        std::vector<Stretch> onsets, offsets;
    };
    const Stretch none;
    const Seen recordings[] = {
        {"bsnb_emg_bursts.csv",
         0,
         0.22,
         {{{0.85, 1.5}}, {{4.42, 4.85}}, {{7.6, 7.9}}, {{11.5, 11.75}}, none, {{17.1, 17.4}}, {{20.15, 20.4}}, {{22.85, 23.35}}, {{26.3, 26.75}}},
         {{{2.4, 2.52}}, {{5.7, 5.92}}, {{9.0, 9.45}}, none, none, {{18.45, 18.8}}, {{21.45, 21.65}}, {{24.55, 24.75}}, {{27.6, 27.8}}}},
        // Slow movements; what follows the falls (9.5 s, 28.9 s, 57.7 s) is a spike or wave of the movement, not muscle.
        {"uci_6Asen.txt",
         0,
         0.2,
         {{{0.9, 1.7}}, {{15.55, 16.5}}, {{31.15, 32.4}}, {{42.2, 43.3}}, {{51.3, 53.2}}, {{59.7, 61.1}}},
         {{{8.25, 9.1}}, {{27.4, 28.5}}, {{38.2, 39.3}}, {{48.8, 49.8}}, {{56.3, 57.0}}, {{65.7, 67.0}}}},
        {"uci_4Npie.txt",
         1,
         0.15,
         {{{0.27, 0.33}}, {{3.93, 4.05}}, {{7.03, 7.1}}, {{10.23, 10.3}}},
         {{{2.25, 2.85}}, {{5.45, 5.8}}, {{8.6, 9.0}}, {{11.6, 11.7}}}},
        // The first one had begun before the recording.
        {"uci_5Apie.txt",
         1,
         0.15,
         {none, {{3.55, 3.8}}, {{8.35, 8.65}}, {{12.35, 12.6}}, {{16.4, 16.65}}},
         {{{1.9, 2.15}}, {{6.75, 7.0}}, {{11.0, 11.25}}, {{14.7, 15.05}}, {{18.7, 19.0}}}},
        {"weak_emg_counts.txt", 0, 0.3, {none, {{49.5, 50.8}}}, {{{41.0, 41.4}}, {{57.7, 58.0}}}},
        {"bsnb_emg_fatigue.csv",
         0,
         0.15,
         {{{0.9, 1.15}},     {{5.45, 5.7}},     {{9.65, 9.85}},    {{13.65, 13.85}},   {{17.65, 17.85}},   {{21.6, 21.8}},
          {{25.4, 25.65}},   {{29.93, 30.05}},  {{33.6, 33.85}},   {{37.55, 37.75}},   {{41.2, 41.5}},     {{45.25, 45.5}},
          {{49.15, 49.4}},   {{53.15, 53.45}},  {{57.4, 57.65}},   {{61.3, 61.45}},    {{65.7, 65.9}},     {{69.45, 69.75}},
          {{73.55, 73.75}},  {{77.35, 77.6}},   {{81.2, 81.5}},    {{85.15, 85.45}},   {{89.07, 89.45}},   {{93.35, 93.6}},
          {{97.25, 97.5}},   {{101.25, 101.55}}, {{105.4, 105.7}}, {{109.45, 109.6}},  {{113.35, 113.7}},  {{117.8, 118.05}}},
         {{{4.3, 4.4}},      {{8.42, 8.48}},    {{12.55, 12.7}},   {{16.5, 16.63}},    {{20.7, 20.77}},    {{24.45, 24.55}},
          {{28.5, 28.6}},    {{32.5, 32.7}},    {{36.65, 36.75}},  {{40.45, 40.55}},   {{44.18, 44.25}},   {{48.55, 48.63}},
          {{52.4, 52.47}},   {{56.35, 56.42}},  {{60.57, 60.62}},  {{64.4, 64.52}},    {{68.72, 68.82}},   {{72.6, 72.8}},
          none,  {{80.62, 80.7}},   {{84.32, 84.42}},  {{88.3, 88.4}},     {{92.28, 92.37}},   {{96.4, 96.5}},
          {{100.25, 100.35}}, {{104.48, 104.6}}, {{108.6, 108.85}}, {{112.3, 112.45}}, {{116.55, 116.65}}, {{120.95, 121.05}}}}};
    for (const Seen& seen : recordings) {
        const Cycles found = cycles_of(folder, seen.file, seen.channel);
        CAPTURE(seen.file);
        REQUIRE(found.cycles.size() == seen.onsets.size());
        const auto check = [&](const std::optional<EventTime>& event, const Stretch& stretch) {
            REQUIRE(event.has_value() == stretch.has_value());
            if (!event) return;
            CHECK(event->time_s > stretch->begin_s - seen.tolerance_s);
            CHECK(event->time_s < stretch->end_s + seen.tolerance_s);
        };
        for (std::size_t i = 0; i < found.cycles.size(); ++i) {
            CAPTURE(i);
            check(found.cycles[i].onset, seen.onsets[i]);
            check(found.cycles[i].offset, seen.offsets[i]);
        }
    }
}

// Below 15 Hz a person sees waves of about 10 Hz, larger than the muscle, where the leg drops after the movements of 6Asen (the
// largest at these times), and one slow swing of 0.2 s each after two of 4Npie. Nothing of that kind in 5Apie.
TEST_CASE("movement that a person sees in open recordings is named where it is") {
    const char* folder = open_recordings();
    if (!folder) return;
    const auto moved = [&](const std::string& file, std::size_t channel) {
        ReadSettings settings;
        settings.rate = Hertz{1000.0};
        const CleanRecording clean = clean_recording(read_recording(read_bytes(std::string(folder) + "/emg/" + file), file, settings), channel);
        for (const Finding& finding : clean.quality.findings) {
            if (finding.code == "motion") return finding.spans;
        }
        return std::vector<TimeSpan>{};
    };
    const auto holds = [](const std::vector<TimeSpan>& spans, double time_s) {
        return std::any_of(spans.begin(), spans.end(), [&](TimeSpan span) { return span.begin_s < time_s && time_s < span.end_s; });
    };
    const auto seated = moved("uci_6Asen.txt", 0), standing = moved("uci_4Npie.txt", 1);
    for (const double time_s : {38.15, 48.9, 56.0, 65.65}) CHECK(holds(seated, time_s));
    for (const double time_s : {3.1, 6.28}) CHECK(holds(standing, time_s));
    CHECK(standing.size() == 2);
    CHECK(moved("uci_5Apie.txt", 1).empty());
}
