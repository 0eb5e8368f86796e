// Real surface EMG with work and rest in it: none of it may be rejected, and what was looked up by eye is found.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/envelope/follow_envelope.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;

namespace {

std::string folder() {
    const char* path = std::getenv("TRACEHOLD_OPEN_RECORDINGS");
    return path ? std::string(path) + "/emg/" : "";
}

Recording open(const std::string& name) {
    ReadSettings settings;
    if (name.starts_with("uci_")) settings.rate = Hertz{1000.0};
    return read_recording(read_bytes(folder() + name), name, settings);
}

const Finding* find(const CleanRecording& clean, std::string_view code) {
    for (const Finding& f : clean.quality.findings) {
        if (f.code == code) return &f;
    }
    return nullptr;
}

}  // namespace

TEST_CASE("no open recording is rejected and little of it is masked") {
    if (folder().empty()) {
        MESSAGE("skipped: no open recordings");
        return;
    }
    std::string table = "\n";
    for (const auto& entry : std::filesystem::directory_iterator(folder())) {
        const std::string name = entry.path().filename().string();
        if (!name.ends_with(".csv") && !name.ends_with(".txt")) continue;
        const Recording recording = open(name);
        for (std::size_t c = 0; c < recording.channels.size(); ++c) {
            if (recording.channels[c].kind != ChannelKind::raw) continue;
            const auto clean = clean_recording(recording, c);
            CAPTURE(name);
            CAPTURE(c);
            CHECK(clean.quality.usable);
            // Most masked (10 %) is where a leg drops after seated extension: waves of 1 to 15 Hz larger than the
            // muscle, seen by eye.
            CHECK(clean.quality.masked_s < 0.12 * recording.duration_s());
            table += fmt::format("{} {}: masked {:.2f} s, floor {:.1f} µV,", name, recording.channels[c].label,
                                 clean.quality.masked_s, follow_envelope(clean).noise_floor_uv);
            for (const Finding& f : clean.quality.findings) table += " " + f.code;
            table += "\n";
        }
    }
    MESSAGE(table);
}

TEST_CASE("samples clipped at both rails of a real recording are named and kept as the least that they were") {
    if (folder().empty()) {
        MESSAGE("skipped: no open recordings");
        return;
    }
    const Recording recording = open("bsnb_emg_fatigue.csv");
    const auto& samples = recording.channels[0].samples;
    const auto clean = clean_recording(recording, 0);
    REQUIRE(find(clean, "clipping"));
    // 26 samples stand at the highest value and 12 at the lowest, as the index of the recordings says; 157 more stand
    // one digit above the lowest.
    const auto [low, high] = std::minmax_element(samples.begin(), samples.end());
    CHECK(std::count(samples.begin(), samples.end(), *high) == 26);
    CHECK(std::count(samples.begin(), samples.end(), *low) == 12);
    for (std::size_t i = 0; i < samples.size(); ++i) {
        if (samples[i] != *low && samples[i] != *high) continue;
        const double t = (static_cast<double>(i) + 0.5) / clean.rate.value;
        CHECK(std::any_of(clean.clipped.begin(), clean.clipped.end(), [&](TimeSpan top) { return t >= top.begin_s && t < top.end_s; }));
        CHECK_FALSE(std::isnan(clean.uv[i]));
    }
}

TEST_CASE("quick flicks are kept whole") {
    if (folder().empty()) {
        MESSAGE("skipped: no open recordings");
        return;
    }
    const auto clean = clean_recording(open("bsnb_emg_1000_hz_16_bits_solo.csv"), 0);
    CHECK(clean.quality.masked_s == 0.0);
    CHECK(!find(clean, "motion"));
    CHECK(!find(clean, "heart_beats"));
}
