#include <doctest/doctest.h>

#include <string>

#include "read/read_support.hpp"
#include "support/edf_builder.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

Recording with_unit(const std::string& unit, const ReadSettings& settings = {}) {
    BuiltEdf file = small_edf();
    file.signals[0].unit = unit;
    return read_edf(file.bytes(), "f", settings);
}

// Positive codes only.
BuiltEdf never_negative() {
    BuiltEdf file = small_edf();
    for (int i = 0; i < 400; ++i) file.signals[0].digital.push_back(i % 50 + 100);
    return file;
}

}  // namespace

TEST_CASE("every spelling of a voltage becomes microvolts") {
    // Factors by definition of the SI prefixes; +500 of the unit is the high limit.
    const std::pair<const char*, float> units[] = {{"uV", 500.0F},        {"\xB5V", 500.0F}, {"\xC2\xB5V", 500.0F},
                                                   {"\xCE\xBCV", 500.0F}, {"mV", 500e3F},    {"V", 500e6F},
                                                   {"nV", 0.5F}};
    for (const auto& [unit, high] : units) {
        const Channel channel = with_unit(unit).channels[0];
        CHECK(channel.kind == ChannelKind::raw);
        CHECK(channel.unit_known);
        CHECK(*channel.high_limit == doctest::Approx(high));
        CHECK(*channel.low_limit == doctest::Approx(-high));
    }
    CHECK(with_unit("\xB5V").channels[0].unit == "\xC2\xB5V");
    CHECK(codes(with_unit("\xB5V")) == "header_not_ascii");
    CHECK(codes(with_unit("mV")).empty());
}

TEST_CASE("other units keep their own values and kind") {
    for (const char* unit : {"deg", "cmH2O", "%", "T", "uA", "kV"}) {
        const Recording recording = with_unit(unit);
        CHECK(recording.channels[0].kind == ChannelKind::other);
        CHECK(recording.channels[0].unit == unit);
        CHECK(*recording.channels[0].high_limit == 500.0F);
        CHECK(codes(recording).empty());
    }
}

TEST_CASE("a missing unit is taken as microvolts with a doubt") {
    const Recording recording = with_unit("");
    CHECK_FALSE(recording.channels[0].unit_known);
    CHECK(recording.channels[0].kind == ChannelKind::raw);
    CHECK(*recording.channels[0].high_limit == 500.0F);
    CHECK(recording.notes.empty());
    REQUIRE(recording.channels[0].doubts.size() == 1);
    CHECK(recording.channels[0].doubts[0] ==
          Note{"unit_assumed", "signal 1",
               "signal 'EMG PFM' has no unit: microvolts were assumed, and values may be wrong by a constant factor", true});
}

TEST_CASE("the user's unit beats the file's") {
    const Recording recording = with_unit("mV", {.rate = {}, .unit = "uV", .kind = {}});
    CHECK(*recording.channels[0].high_limit == 500.0F);
    CHECK(recording.channels[0].unit == "uV");
    REQUIRE(recording.notes.size() == 1);
    CHECK(recording.notes[0] == Note{"unit_set", "signal 1", "signal 'EMG PFM': unit uV as asked, the file says 'mV'"});
    CHECK(codes(with_unit("", {.rate = {}, .unit = "mV", .kind = {}})) == "unit_set");
    CHECK(with_unit("", {.rate = {}, .unit = "mV", .kind = {}}).channels[0].unit_known);
}

TEST_CASE("the user's unit leaves angles alone unless there is nothing else") {
    BuiltEdf file = small_edf();
    file.signals.push_back(file.signals[0]);
    file.signals[1].label = "knee";
    file.signals[1].unit = "deg";
    const Recording both = read_edf(file.bytes(), "f", {.rate = {}, .unit = "mV", .kind = {}});
    CHECK(*both.channels[0].high_limit == 500e3F);
    CHECK(both.channels[1].kind == ChannelKind::other);
    CHECK(*both.channels[1].high_limit == 500.0F);
    CHECK(*with_unit("units", {.rate = {}, .unit = "mV", .kind = {}}).channels[0].high_limit == 500e3F);
}

TEST_CASE("a unit that is no voltage cannot be asked for") {
    try {
        with_unit("uV", {.rate = {}, .unit = "furlong", .kind = {}});
        FAIL("no error");
    } catch (const Error& error) {
        CHECK(error.kind == ErrorKind::bad_setting);
        CHECK(std::string{error.what()} == "f:unit: no unit of voltage: saw 'furlong', expected uV, mV or V");
    }
}

TEST_CASE("a voltage that is never negative is taken as an amplitude") {
    const Recording recording = read_edf(never_negative().bytes(), "f");
    CHECK(recording.channels[0].kind == ChannelKind::envelope);
    REQUIRE(recording.notes.size() == 1);
    CHECK(recording.notes[0] == Note{"taken_as_envelope", "signal 1",
                                     "signal 'EMG PFM' is taken as an amplitude because it is never negative"});
}

TEST_CASE("a signal of zeros alone is no amplitude") {
    BuiltEdf file = small_edf();
    file.signals[0].digital_min = "-100";
    file.signals[0].digital_max = "100";
    file.signals[0].digital.assign(400, 0);
    CHECK(read_edf(file.bytes(), "f").channels[0].kind == ChannelKind::raw);
}

TEST_CASE("a rate of 100 Hz or less is an amplitude unless negative values rule that out") {
    BuiltEdf file = small_edf();
    const auto kind = [&](std::size_t samples, int lowest) {
        file.signals[0].samples = samples;
        file.signals[0].digital.clear();
        for (int i = 0; i < 400; ++i) file.signals[0].digital.push_back(lowest + (i * 37) % 50 + (i % 100 < 50 ? 0 : 30));
        const Recording recording = read_edf(file.bytes(), "f");
        return std::string{to_string(recording.channels[0].kind)} + (recording.notes.empty() ? "" : " " + recording.notes[0].text);
    };
    CHECK(kind(100, 0) ==
          "envelope signal 'EMG PFM' is taken as an amplitude because a rate of 100 Hz is too low for a raw trace");
    CHECK(kind(100, -40).starts_with("raw signal 'EMG PFM' is taken as a raw trace because "));
    CHECK(kind(101, -40) == "raw");
}

TEST_CASE("a prefilter that says rectified makes an amplitude") {
    BuiltEdf file = small_edf();
    file.signals[0].prefilter = "HP:16Hz Rectification LP:0.7Hz";
    const Recording recording = read_edf(file.bytes(), "f");
    CHECK(recording.channels[0].kind == ChannelKind::envelope);
    CHECK(codes(recording) == "taken_as_envelope");
}

TEST_CASE("the user's kind beats what the signal looks like") {
    const Recording recording =
        read_edf(never_negative().bytes(), "f", {.rate = {}, .unit = "", .kind = ChannelKind::raw});
    CHECK(recording.channels[0].kind == ChannelKind::raw);
    REQUIRE(recording.notes.size() == 1);
    CHECK(recording.notes[0] == Note{"kind_set", "signal 1", "signal 'EMG PFM': raw as asked, it looks like envelope"});
    BuiltEdf angle = small_edf();
    angle.signals[0].unit = "deg";
    const ReadSettings envelope{.rate = {}, .unit = "", .kind = ChannelKind::envelope};
    CHECK(read_edf(angle.bytes(), "f", envelope).channels[0].kind == ChannelKind::other);
}

TEST_CASE("a rate asked for is not used because the file states its own and refused where that is another") {
    const Recording recording = read_edf(small_edf().bytes(), "f", {.rate = Hertz{200.1}, .unit = "", .kind = {}});
    CHECK(recording.channels[0].rate.value == 200.0);
    CHECK(codes(recording) == "rate_not_used");
    try {
        read_edf(small_edf().bytes(), "f", {.rate = Hertz{1000.0}, .unit = "", .kind = {}});
        FAIL("accepted");
    } catch (const Error& error) {
        CHECK(error.kind == ErrorKind::bad_setting);
        CHECK(error.message == "the rate given is not that of the file: saw 1000 Hz, expected 200 Hz as its header states");
    }
}

TEST_CASE("a file without a channel as fast as any recorder is refused") {
    BuiltEdf edf = small_edf();
    edf.duration = "100";
    try {
        read_recording(edf.bytes(), "f.edf");
        FAIL("accepted");
    } catch (const Error& error) {
        CHECK(error.kind == ErrorKind::unsupported);
        CHECK(error.message == "no rate of a recorder: saw 2 Hz, expected at least 4 Hz");
        CHECK(error.hint == "is the record duration in its header right? export the recording again");
    }
}

TEST_CASE("the duration is that of the longest channel") {
    Recording recording;
    CHECK(recording.duration_s() == 0.0);
    recording.channels.resize(2);
    recording.channels[0].rate = Hertz{100.0};
    recording.channels[0].samples.resize(150);
    recording.channels[1].rate = Hertz{10.0};
    recording.channels[1].samples.resize(20);
    CHECK(recording.duration_s() == 2.0);
}

TEST_CASE("kinds and formats have their names") {
    CHECK(to_string(ChannelKind::raw) == "raw");
    CHECK(to_string(ChannelKind::envelope) == "envelope");
    CHECK(to_string(ChannelKind::other) == "other");
    CHECK(to_string(FileFormat::csv) == "csv");
    CHECK(to_string(FileFormat::edf_plus_d) == "edf+d");
    CHECK(to_string(FileFormat::simulated) == "simulated");
}
