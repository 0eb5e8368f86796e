#include "read/edf_timeline.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "read/read_support.hpp"
#include "support/edf_builder.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

// Records of one second and 200 samples with the given stamps; "" leaves a record without one.
Recording stamped(const std::vector<std::string>& onsets, std::string_view kind = "EDF+D",
                  const std::string& duration = "1") {
    BuiltEdf file = small_edf_plus(kind);
    file.records = onsets.size();
    file.duration = duration;
    std::vector<std::string> records;
    for (const std::string& onset : onsets) records.push_back(onset.empty() ? std::string(1, '\0') : stamp(onset));
    file.signals[1] = annotation_signal(records, 30, file.bdf);
    return read_edf(file.bytes(), "f");
}

// The record that each second of the samples holds, as one letter; '-' for a second without samples.
std::string seconds(const Recording& recording) {
    const std::vector<float>& x = recording.channels[0].samples;
    std::string out;
    for (std::size_t i = 0; i < x.size(); i += 200) out += std::isnan(x[i]) ? '-' : 'x';
    return out;
}

}  // namespace

TEST_CASE("gaps between discontinuous records stay gaps on one time axis") {
    const Recording recording = stamped({"+0", "+1", "+10", "+12"});
    CHECK(recording.format == FileFormat::edf_plus_d);
    CHECK(seconds(recording) == "xx--------x-x");
    CHECK(recording.gaps == std::vector<TimeSpan>{{2.0, 10.0}, {11.0, 12.0}});
    CHECK(codes(recording).empty());
    const Recording without = stamped({"+0", "+1", "+2", "+3"});
    CHECK(without.gaps.empty());
    // The third record is the same wherever it stands.
    for (std::size_t i = 0; i < 200; ++i) {
        CHECK(recording.channels[0].samples[2000 + i] == without.channels[0].samples[400 + i]);
        CHECK(std::isnan(recording.channels[0].samples[400 + i]));
    }
}

TEST_CASE("shifting all stamps shifts the start and nothing else") {
    const Recording base = stamped({"+0", "+5"});
    const Recording shifted = stamped({"+0.25", "+5.25"});
    CHECK(shifted.gaps == base.gaps);
    CHECK(shifted.channels[0].samples.size() == base.channels[0].samples.size());
    CHECK(to_text(*shifted.start) == "2026-03-02T07:30:05.250");
    CHECK(codes(shifted).empty());
}

TEST_CASE("a file that says continuous but jumps is read as discontinuous") {
    const Recording recording = stamped({"+0", "+5", "+9"}, "EDF+C");
    CHECK(recording.format == FileFormat::edf_plus_c);
    CHECK(recording.gaps == std::vector<TimeSpan>{{1.0, 5.0}, {6.0, 9.0}});
    CHECK(codes(recording) == "record_times_jump");
    CHECK(recording.notes[0].text ==
          "the file says it is continuous, but its record times leave 2 of its 3 records apart "
          "from the one ahead: read as discontinuous");
    CHECK(recording.notes[0].place == "byte 1228, record 2");
}

TEST_CASE("a record stamped too early is put right behind the one ahead") {
    const Recording recording = stamped({"+0", "+1", "+1.5", "+2.5", "+13.5"});
    CHECK(seconds(recording) == "xxxx----------x");
    CHECK(codes(recording) == "records_overlap");
    CHECK(recording.notes[0].text ==
          "record 3 is stamped 0.500 s before the end of the one ahead: put right behind it, "
          "marks from here on may be off by that");
    CHECK(seconds(stamped({"+10", "+5", "+0"})) == "xxx");
}

TEST_CASE("lost stamps follow the record ahead and the origin is found from later ones") {
    const Recording middle = stamped({"+0", "", "+2"});
    CHECK(seconds(middle) == "xxx");
    CHECK(codes(middle) == "record_time_lost");
    CHECK(middle.notes[0].text == "1 of 3 records have no readable time stamp: taken to follow the one ahead directly");
    const Recording first = stamped({"", "+1.5", "+2.5"});
    CHECK(seconds(first) == "xxx");
    CHECK(to_text(*first.start) == "2026-03-02T07:30:05.500");
    const Recording all = stamped({"", "", ""});
    CHECK(seconds(all) == "xxx");
    CHECK(to_text(*all.start) == "2026-03-02T07:30:05");
}

TEST_CASE("a first record outside the first second moves the start or leaves it unknown") {
    const Recording late = stamped({"+30", "+31"});
    CHECK(to_text(*late.start) == "2026-03-02T07:30:35");
    CHECK(codes(late) == "first_record_off");
    const Recording early = stamped({"-100", "-99"});
    CHECK(to_text(*early.start) == "2026-03-02T07:28:25");
    const Recording epoch = stamped({"+1700000000", "+1700000001"});
    CHECK_FALSE(epoch.start);
    CHECK(seconds(epoch) == "xx");
    CHECK(epoch.notes[0].text ==
          "the first record is stamped 1700000000 s from the header's start, not within its first "
          "second: the start is taken as unknown");
}

TEST_CASE("rounded stamps open no gap") {
    const Recording thirds = stamped({"+0", "+0.333", "+0.667", "+1", "+1.333"}, "EDF+D", "0.333333");
    CHECK(thirds.gaps.empty());
    CHECK(codes(thirds).empty());
    CHECK(thirds.channels[0].samples.size() == 1000);
}

TEST_CASE("a drifting clock opens no gap and is told once it adds up") {
    std::vector<std::string> onsets;
    for (int i = 0; i < 60; ++i) onsets.push_back(std::to_string(i * 1.001).insert(0, 1, '+'));
    const Recording recording = stamped(onsets);
    CHECK(recording.gaps.empty());
    CHECK(codes(recording) == "record_times_drift");
    CHECK(recording.notes[0].text ==
          "the record times drift by 0.059 s against the sampling rate: marks may be off by that");
    onsets.resize(10);
    CHECK(codes(stamped(onsets)).empty());
}

TEST_CASE("signals of different rates share the gaps") {
    BuiltEdf file = small_edf_plus("EDF+D");
    file.signals[1] = annotation_signal({stamp("+0"), stamp("+2.5")});
    BuiltSignal slow = file.signals[0];
    slow.samples = 1;
    file.signals.push_back(slow);
    const Recording recording = read_edf(file.bytes(), "f");
    CHECK(recording.gaps == std::vector<TimeSpan>{{1.0, 2.5}});
    CHECK(recording.channels[0].samples.size() == 700);
    // 2.5 s at 1 Hz: the second sample is placed at the nearest whole second, half away from zero.
    CHECK(recording.channels[1].samples.size() == 4);
    CHECK(std::isnan(recording.channels[1].samples[1]));
}

TEST_CASE("a gap too long for memory is refused by name") {
    try {
        stamped({"+0", "+1", "+1000000"});
        FAIL("no error");
    } catch (const Error& error) {
        CHECK(error.kind == ErrorKind::unsupported);
        CHECK(
            std::string{error.what()} ==
            "f:byte 1688, record 3: a gap too long for one recording: saw 999998 s between records 2 and 3, expected a "
            "shorter one\nhint: split the file at its gaps and give the parts");
    }
    CHECK(stamped({"+0", "+1", "+3600"}).channels[0].samples.size() == 3601 * 200);
}
