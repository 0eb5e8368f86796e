// Whole CSV recordings at the edges of what is understood: units of time, names from elsewhere, cells that are none.
#include <fmt/format.h>

#include <cmath>
#include <string>

#include "read_support.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

// `count` rows whose time moves by `step`, with a trace that swings about zero.
std::string stepped_rows(int count, double step, const std::string& behind = "") {
    std::string text;
    for (int i = 0; i < count; ++i) text += fmt::format("{:g},{}{}\n", step * i, i % 7 - 3, behind);
    return text;
}

std::string csv_start(const std::string& text) {
    const auto start = csv(text).start;
    return start ? to_text(*start) : "none";
}

}  // namespace

TEST_CASE("a time without a unit is seconds where that is a rate of a recorder") {
    CHECK(csv("time,emg_uV\n" + stepped_rows(50, 0.25)).channels[0].rate.value == 4.0);
    const Recording milli = csv("time,emg_uV\n" + stepped_rows(50, 10));
    CHECK(milli.channels[0].rate.value == 100.0);
    CHECK(note_text(milli, "time_unit_assumed") ==
          "the time column names no unit; steps of 10 were taken as milliseconds");
    const Recording micro = csv("time,emg_uV\n" + stepped_rows(50, 1000));
    CHECK(micro.channels[0].rate.value == 1000.0);
    CHECK(note_text(micro, "time_unit_assumed") ==
          "the time column names no unit; steps of 1000 were taken as microseconds");
    CHECK(csv("time,emg_uV\n" + stepped_rows(50, 0.5)).channels[0].rate.value == 2000.0);  // no recorder keeps 2 Hz: ms
}

TEST_CASE("a said rate decides what the time is counted in") {
    CHECK(csv("# rate_hz: 0.5\ntime,emg_uV\n" + stepped_rows(50, 2)).channels[0].rate.value == 0.5);
    CHECK(csv("# rate_hz: 1\ntime,emg_uV\n" + stepped_rows(50, 1000)).channels[0].rate.value == 1.0);
    CHECK(csv("# rate_hz: 1000\ntime,emg_uV\n" + stepped_rows(50, 1000)).channels[0].rate.value == 1000.0);
    CHECK(csv("# rate_hz: 100000\ntime,emg_uV\n" + stepped_rows(50, 10)).channels[0].rate.value == 100000.0);
    const Recording other = csv("# rate_hz: 90\ntime_ms,emg_uV\n" + stepped_rows(50, 10));
    CHECK(note_text(other, "rate_differs") ==
          "the file says 90 Hz, its time column runs at 100 Hz; the time column was followed");
}

TEST_CASE("a rate beyond any recorder is a time in other units") {
    CHECK(error_of("time_us,emg_uV\n" + stepped_rows(50, 0.5)) ==
          "x.csv: no rate of a recorder: saw 2000000 Hz, expected at most 1 MHz\nhint: is the time column in other "
          "units? --rate HZ says the rate");
    CHECK(csv("time_us,emg_uV\n" + stepped_rows(50, 1)).channels[0].rate.value == 1e6);
}

TEST_CASE("a user's rate must be a number above zero and beats a time that tells none") {
    CHECK(error_of("emg_uV\n1\n2\n", {.rate = Hertz{-1}, .unit = "", .kind = {}}) ==
          "x.csv: not a rate: saw -1, expected a number above 0\nhint: --rate HZ");
    CHECK(error_of("emg_uV\n1\n2\n", {.rate = Hertz{INFINITY}, .unit = "", .kind = {}}) ==
          "x.csv: not a rate: saw inf, expected a number above 0\nhint: --rate HZ");
    const Recording told = csv("time_s,emg_uV\n1.5,2\n1.5,-3\n1.5,4\n", {.rate = Hertz{100}, .unit = "", .kind = {}});
    CHECK(note_text(told, "rate_given") == "a rate of 100 Hz was given by the user; the time column tells none");
    CHECK(note_text(csv("# rate_hz: 50\nemg_uV\n1\n-2\n3\n", {.rate = Hertz{100}, .unit = "", .kind = {}}),
                    "rate_given") == "a rate of 100 Hz was given by the user; the file says 50 Hz");
}

TEST_CASE("names that the lines above give stand for a header") {
    const Recording all = csv("# labels: time_s, RF [uV]\n" + stepped_rows(50, 0.001));
    REQUIRE(all.channels.size() == 1);
    CHECK(all.channels[0].label == "RF");
    const Recording fewer = csv("# labels: RF [mV]\n" + stepped_rows(50, 0.001));
    REQUIRE(fewer.channels.size() == 1);
    CHECK(fewer.channels[0].label == "RF");
    CHECK(fewer.channels[0].unit == "mV");
    CHECK(fewer.channels[0].rate.value == 1000.0);
    const Recording wrong = csv("# labels: a, b, c, d\n" + stepped_rows(50, 0.001));
    CHECK(wrong.channels[0].label == "column 2");
    const Recording header = csv("# labels: a, b\ntime_s,emg_uV\n" + stepped_rows(50, 0.001));
    CHECK(header.channels[0].label == "emg");
}

TEST_CASE("two columns of one name keep what tells them apart") {
    std::string text = "time_s,emg_uV,emg_mV\n";
    for (int i = 0; i < 50; ++i) text += fmt::format("{:.3f},{},{}\n", 0.001 * i, i % 5 - 2, i % 3 - 1);
    const Recording recording = csv(text);
    REQUIRE(recording.channels.size() == 2);
    CHECK(recording.channels[0].label == "emg_uV");
    CHECK(recording.channels[1].label == "emg_mV");
}

TEST_CASE("a clock starts the recording where its day is known") {
    CHECK(csv_start("time,emg_uV\n2026-03-02 07:30:00.000,1\n2026-03-02 07:30:00.001,-1\n2026-03-02 07:30:00.002,0\n") ==
          "2026-03-02T07:30:00");
    CHECK(csv_start("date,time,emg_uV\n2026-03-02,07:30:00.000,1\n2026-03-02,07:30:00.001,-1\n"
                   "2026-03-02,07:30:00.002,0\n") == "2026-03-02T07:30:00");
    CHECK(csv_start("time,emg_uV\n07:30:00.000,1\n07:30:00.001,-1\n07:30:00.002,0\n") == "none");
    CHECK(csv_start("time,emg_uV\n,1\n2026-03-02 07:30:00.001,-1\n2026-03-02 07:30:00.002,0\n"
                   "2026-03-02 07:30:00.003,0\n") == "none");
    CHECK(csv_start("# start: 2026-03-05T09:00\ntime_s,emg_uV\n" + stepped_rows(50, 0.001)) == "2026-03-05T09:00:00");
}

TEST_CASE("a clock over midnight and one with offsets move on evenly") {
    std::string midnight = "time,emg_uV\n", offset = midnight;
    for (int i = 0; i < 20; ++i) {
        const int s = 86390 + i;
        midnight += fmt::format("{:02}:{:02}:{:02}.0,{}\n", s / 3600 % 24, s / 60 % 60, s % 60, i % 3 - 1);
        // Summer time ends between two rows: the clock goes back, the offset says so.
        offset +=
            fmt::format("2026-10-25T0{}:59:{:02}.0+0{}:00,{}\n", i < 10 ? 2 : 1, 40 + i, i < 10 ? 2 : 1, i % 3 - 1);
    }
    for (const std::string& text : {midnight, offset}) {
        const Recording recording = csv(text);
        CHECK(recording.channels[0].rate.value == 1.0);
        CHECK(recording.channels[0].samples.size() == 20);
        CHECK_FALSE(has_note(recording, "time_goes_back"));
    }
}

TEST_CASE("what a channel is comes from user then name then file then rate then sign") {
    const auto kind_of = [](const std::string& text, const ReadSettings& settings = {}) {
        return csv(text, settings).channels[0].kind;
    };
    std::string positive = "time_s,emg_uV\n", offset = positive, still = positive, exported = "time_s,emg_rms_uV\n";
    for (int i = 0; i < 205; ++i) {
        positive += fmt::format("{:.3f},{}\n", 0.001 * i, 0.5 + i % 40);
        offset += fmt::format("{:.3f},{}\n", 0.001 * i, 2048 + (i * 37) % 41 - 20);
        still += fmt::format("{:.3f},0\n", 0.001 * i);
        exported += fmt::format("{:.3f},{}\n", 0.001 * i, i % 7 - 3);
    }
    CHECK(kind_of("time_s,emg_uV\n" + stepped_rows(200, 0.001)) == ChannelKind::raw);
    CHECK(kind_of(positive) == ChannelKind::envelope);
    CHECK(note_text(csv(positive), "kind_envelope") == "'emg' was read as an envelope: it is never negative");
    CHECK(kind_of(offset) == ChannelKind::raw);
    CHECK(note_text(csv(offset), "kind_raw") ==
          "'emg' was read as a raw trace: it is never negative, but swings both ways around 2048");
    CHECK(kind_of(still) == ChannelKind::raw);
    CHECK(kind_of(exported) == ChannelKind::envelope);
    CHECK(kind_of("# kind: envelope\ntime_s,emg_uV\n" + stepped_rows(200, 0.001)) == ChannelKind::envelope);
    CHECK(kind_of(positive, {.rate = {}, .unit = "", .kind = ChannelKind::raw}) == ChannelKind::raw);
    const Recording slow = csv("time_s,emg_uV\n" + stepped_rows(200, 0.1));
    CHECK(slow.channels[0].kind == ChannelKind::raw);
    CHECK(note_text(slow, "kind_raw") ==
          "'emg' was read as a raw trace: 44 % of its values are negative, though a rate of 10 Hz is too low for a raw trace");
    REQUIRE(slow.channels[0].doubts.size() == 1);
    CHECK(slow.channels[0].doubts[0].code == "kind_doubtful");
}

TEST_CASE("whole numbers far from zero without a unit look like counts") {
    std::string text = "time_s,emg\n", small = text;
    for (int i = 0; i < 205; ++i) {  // five whole turns: the median is the middle
        text += fmt::format("{:.3f},{}\n", 0.001 * i, 512 + (i * 37) % 41 - 20);
        small += fmt::format("{:.3f},{}\n", 0.001 * i, i % 5 - 2);
    }
    CHECK(note_text(csv(text), "unit_assumed") ==
          "no unit for 'emg'; microvolts were assumed, and values may be wrong by a constant factor, but whole numbers around 512 look like counts of a converter, "
          "whose size nobody said");
    CHECK(note_text(csv(small), "unit_assumed") == "no unit for 'emg'; microvolts were assumed, and values may be wrong by a constant factor");
    const auto in_microvolts = [](const std::string& of, const std::string& unit = "") {
        return csv("time_s,emg_uV" + of.substr(of.find('\n')), {.rate = {}, .unit = unit, .kind = {}}).channels[0].doubts;
    };
    REQUIRE(in_microvolts(text).size() == 1);
    CHECK(in_microvolts(text)[0].code == "unit_doubtful");
    CHECK(in_microvolts(text)[0].text ==
          "'emg' is said to be in uV, but whole numbers around 512 look like counts of a converter; values may be wrong by a constant factor, "
          "--unit says the unit");
    CHECK(in_microvolts(small).empty());
    CHECK(in_microvolts(text, "uV").empty());  // somebody looked it up
}

TEST_CASE("a first column that rises by ones counts and one that rises unevenly is a signal") {
    std::string counter = "n,emg_uV\n", uneven = "x,emg_uV\n", time = "x,emg_uV\n";
    for (int i = 0; i < 100; ++i) {
        counter += fmt::format("{},{}\n", i, i % 5 - 2);
        uneven += fmt::format("{},{}\n", i * i, i % 5 - 2);
        time += fmt::format("{:.2f},{}\n", 0.01 * i, i % 5 - 2);
    }
    CHECK(error_of(counter).find("no rate: saw neither a time column nor a line that says one") != std::string::npos);
    const ReadSettings rate{.rate = Hertz{100}, .unit = "", .kind = {}};
    CHECK(csv(uneven, rate).channels.size() == 2);
    CHECK(csv(time).channels.size() == 1);
    CHECK(csv(time).channels[0].rate.value == 100.0);
}

TEST_CASE("a second time column and a named empty one are left out") {
    std::string text = "time_s,clock,emg_uV,\n";
    for (int i = 0; i < 50; ++i) text += fmt::format("{:.3f},07:30:{:02}.{:03},{},\n", 0.001 * i, 0, i, i % 5 - 2);
    const Recording recording = csv(text);
    REQUIRE(recording.channels.size() == 1);
    CHECK(recording.channels[0].label == "emg");
}

TEST_CASE("a delimiter is a comma unless the commas are decimals") {
    std::string decimals, zeros = "emg_uV\n", pairs;
    for (int i = 0; i < 60; ++i) {
        decimals += fmt::format("{},{:02}\n", i % 5 - 2, i % 100);
        zeros += fmt::format("{},5\n", i % 5 - 2);
        pairs += fmt::format("{},{}\n", i % 5 - 2, i % 3 + 10);
    }
    const ReadSettings rate{.rate = Hertz{1000}, .unit = "", .kind = {}};
    CHECK(csv(decimals, rate).channels.size() == 1);  // a zero in front: no number begins so
    CHECK(csv(zeros, rate).channels.size() == 1);     // a header of one name
    CHECK(csv(pairs, rate).channels.size() == 2);
    CHECK(csv("a_uV,b_uV\n" + pairs, rate).channels.size() == 2);
    CHECK(csv("-0,5\n-0,7\n1,2\n-1,3\n", rate).channels.size() == 1);
}

TEST_CASE("a row of units below the names belongs to them") {
    const Recording recording = csv("time,emg,\n(s),[mV],\n" + stepped_rows(50, 0.001, ","));
    REQUIRE(recording.channels.size() == 1);
    CHECK(recording.channels[0].label == "emg");
    CHECK(recording.channels[0].unit == "mV");
    CHECK(recording.channels[0].rate.value == 1000.0);
    const Recording one = csv("[mV]\n1\n-2\n3\n", {.rate = Hertz{1000}, .unit = "", .kind = {}});
    CHECK(one.channels[0].unit == "mV");
}

TEST_CASE("a remark is a header only where it names a time and more") {
    const Recording named = csv("# time_s,emg_mV\n" + stepped_rows(50, 0.001));
    CHECK(named.channels[0].unit == "mV");
    const Recording remark = csv("# left,right\n" + stepped_rows(50, 0.001));
    CHECK(remark.channels[0].label == "column 2");
}

TEST_CASE("a column that the first rows leave empty is told by its first cell further down") {
    std::string text = "time_s,emg_uV,mark\n";
    for (int i = 0; i < 3000; ++i)
        text += fmt::format("{:.3f},{},{}\n", 0.001 * i, i % 5 - 2, i == 2500 ? "contract" : "");
    const Recording recording = csv(text);
    REQUIRE(recording.marks.size() == 1);
    CHECK(recording.marks[0].text == "contract");
    CHECK(recording.marks[0].time_s == doctest::Approx(2.5));
    CHECK(recording.channels.size() == 1);
}

TEST_CASE("cells beyond the sampled rows are held to the same limits") {
    const std::string head = "time_s,emg_uV\n" + stepped_rows(5000, 0.001);
    CHECK(error_of(head + "5," + std::string(2 << 20, '1') + "\n6,1\n") ==
          "x.csv:5002:1: the line is too long: expected at most 1048576 bytes");
    CHECK(error_of(head + "5,1e5x\n6,1\n") ==
          "x.csv:5002:3: not a number in 'emg': saw '1e5x', expected a number with decimal point");
    CHECK(csv(head + "5,1e2\n5.001,-1e-2\n").channels[0].samples[5000] == 100.0F);
    CHECK(csv(head + "5,1e2\n5.001,-1e-").channels[0].samples.size() == 5001);  // cut inside its last number
    CHECK(error_of("time,emg_uV\n07:30:00.000,1\n07:30:00.001,2\nhalf past,3\n07:30:00.003,1\n")
              .find("not a time in 'time': saw 'half past', expected a time") != std::string::npos);
}

TEST_CASE("a marker column of more than a million changes is no marker column") {
    const auto marked = [](int changes) {
        std::string text = "time_s,emg_uV,mark\n";
        for (int i = 0; i < changes; ++i)
            text += fmt::format("{:.3f},{},{}\n", 0.001 * i, i % 3 - 1, i % 2 ? "a" : "b");
        return error_of(text);
    };
    CHECK(marked(1'000'001).find("more than 1000000 changes in a marker column") != std::string::npos);
}
