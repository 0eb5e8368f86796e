// Real surface EMG of limb muscles. The counts are what a person sees in pictures of the traces; the makers of the
// files give none. The movements of the lower-limb files (Sanchez & Sotelo 2014, UCI, doi 10.24432/C5ZW3P) were counted
// in their knee angle.
#include <doctest/doctest.h>

#include <cstdlib>
#include <string>

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
