// Real surface EMG of limb muscles. The counts are what a person sees in pictures of the traces; the makers of the
// files give none. The movements of the lower-limb files (Sanchez & Sotelo 2014, UCI, doi 10.24432/C5ZW3P) were counted
// in their knee angle.
#include <doctest/doctest.h>

#include <cstdlib>
#include <string>
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
