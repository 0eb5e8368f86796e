// Real surface EMG of other recorders. Rates, units and lengths: the index that comes with them, and the files' own
// headers.
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>

#include "read_support.hpp"
#include "support/slow_csv.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::optional<std::string> folder() {
    const char* const path = std::getenv("TRACEHOLD_OPEN_RECORDINGS");
    if (path == nullptr || *path == '\0') {
        MESSAGE("skipped: no open recordings");
        return std::nullopt;
    }
    return std::string(path) + "/emg/";
}

Recording open(const std::string& file, const ReadSettings& settings = {}) {
    return read_recording(read_bytes(file), file, settings);
}

std::string summary(const Recording& recording) {
    std::string text = fmt::format("{} Hz", recording.channels.at(0).rate.value);
    for (const Channel& channel : recording.channels) {
        text +=
            fmt::format(" {}:{}:{}:{}", channel.label, channel.unit, to_string(channel.kind), channel.samples.size());
    }
    return text;
}

std::size_t missing(const Channel& channel) {
    std::size_t count = 0;
    for (const float x : channel.samples) count += std::isnan(x);
    return count;
}

}  // namespace

TEST_CASE("the open biceps recordings read with their rate and unit and length") {
    const auto emg = folder();
    if (!emg) return;
    CHECK(summary(open(*emg + "bsnb_emg_bursts.csv")) == "1000 Hz emg:mV:raw:28519");
    CHECK(summary(open(*emg + "bsnb_emg_fatigue.csv")) == "1000 Hz emg:mV:raw:126900");
    CHECK(summary(open(*emg + "bsnb_emg_1000_hz_16_bits_solo.csv")) == "1000 Hz emg:mV:raw:87600");
    const Recording bursts = open(*emg + "bsnb_emg_bursts.csv");
    CHECK(bursts.notes.empty());
    CHECK(bursts.channels[0].samples[2] == static_cast<float>(0.005127 * 1000.0));
}

TEST_CASE("the open leg recordings read with the names and units of their text") {
    const auto emg = folder();
    if (!emg) return;
    struct Case {
        const char* file;
        int samples;
        int missing_angles;
    };
    for (const Case& c :
         {Case{"uci_10Nsen.txt", 29220, 0}, Case{"uci_4Npie.txt", 13820, 0}, Case{"uci_8Nsen.txt", 24161, 1}}) {
        const Recording recording = open(*emg + c.file);
        CHECK(
            summary(recording) ==
            fmt::format("1000 Hz RF:mV:raw:{0} BF:mV:raw:{0} VM:mV:raw:{0} ST:mV:raw:{0} FX:deg:other:{0}", c.samples));
        CHECK(has_note(recording, "empty_last_rows"));
        CHECK(missing(recording.channels[0]) == 0);
        CHECK(static_cast<int>(missing(recording.channels[4])) == c.missing_angles);
    }
    CHECK(open(*emg + "uci_10Nsen.txt").channels[4].samples[0] == 70.2f);
}

TEST_CASE("the open leg recordings without a rate ask for one and read with it") {
    const auto emg = folder();
    if (!emg) return;
    for (const auto& [file, samples] :
         {std::pair{"uci_4Apie.txt", 33514}, std::pair{"uci_5Apie.txt", 19669}, std::pair{"uci_6Asen.txt", 69374}}) {
        const Recording recording = open(*emg + file, {.rate = Hertz{1000}, .unit = "", .kind = {}});
        CHECK(summary(recording) ==
              fmt::format("1000 Hz Recto Femoral:mV:raw:{0} Biceps Femoral:mV:raw:{0} Vasto Medial:mV:raw:{0} "
                          "EMG Semitendinoso:mV:raw:{0} Flexo-Extension:deg:other:{0}",
                          samples));
    }
    try {
        open(*emg + "uci_4Apie.txt");
        CHECK(false);
    } catch (const Error& error) {
        CHECK(error.kind == ErrorKind::bad_setting);
        CHECK(error.hint == "--rate HZ");
    }
}

TEST_CASE("the open recording in counts reads as raw counts of unknown size") {
    const auto emg = folder();
    if (!emg) return;
    const Recording recording = open(*emg + "weak_emg_counts.txt");
    CHECK(summary(recording) == "1000 Hz EMG::raw:100000");
    CHECK_FALSE(recording.channels[0].unit_known);
    CHECK(note_text(recording, "unit_assumed").find("look like counts of a converter") != std::string::npos);
}

TEST_CASE("the open recordings read sample for sample as the slow twin reads them") {
    const auto emg = folder();
    if (!emg) return;
    const std::string bursts = read_bytes(*emg + "bsnb_emg_bursts.csv"), legs = read_bytes(*emg + "uci_6Asen.txt");
    const auto slow_bursts = slow_csv(bursts, {}).at(1);
    // Seven lines of text, and the last row without a value.
    const auto slow_legs =
        slow_csv(legs.substr(legs.find("\r\n\r\n") + 4), {.delimiter = '\t', .mark = '.', .header = false});
    const Recording fast_bursts = read_csv(bursts, "a");
    const Recording fast_legs = read_csv(legs, "b", {.rate = Hertz{1000}, .unit = "", .kind = {}});
    REQUIRE(fast_bursts.channels[0].samples.size() == slow_bursts.size());
    std::size_t wrong = 0;
    for (std::size_t i = 0; i < slow_bursts.size(); ++i) {
        wrong += fast_bursts.channels[0].samples[i] != static_cast<float>(slow_bursts[i] * 1e3);
    }
    for (std::size_t c = 0; c < 5; ++c) {
        REQUIRE(fast_legs.channels[c].samples.size() + 1 == slow_legs[c].size());
        for (std::size_t i = 0; i + 1 < slow_legs[c].size(); ++i) {
            wrong += fast_legs.channels[c].samples[i] != static_cast<float>(slow_legs[c][i] * (c < 4 ? 1e3 : 1.0));
        }
    }
    CHECK(wrong == 0);
}
