// Contradictions inside a file: each is refused or becomes a doubt, never a plain note.
#include <fmt/format.h>

#include <cmath>
#include <random>
#include <string>

#include "read/read_support.hpp"
#include "support/edf_builder.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

// A raw trace of noise: rest at sd 1, and bursts of two seconds at sd 20 every four.
double noise(std::mt19937& random, double time_s) {
    std::normal_distribution<double> normal;
    return normal(random) * (std::fmod(time_s, 4.0) >= 2.0 ? 20.0 : 1.0);
}

// name: of the value column. value: of the time in seconds and one standard normal number.
template <class Value>
std::string trace(double rate_hz, double seconds, Value value, const std::string& head = "time_s,EMG_uV\n") {
    std::mt19937 random(5);
    std::string text = head;
    for (int i = 0; i < rate_hz * seconds; ++i) text += fmt::format("{:.4f},{:.3f}\n", i / rate_hz, value(i / rate_hz, noise(random, i / rate_hz)));
    return text;
}

std::string raw(double rate_hz, const std::string& head = "time_s,EMG_uV\n") {
    return trace(rate_hz, 12, [](double, double x) { return x; }, head);
}

double amplitude(double time_s) { return 11.0 + 9.0 * std::tanh(4.0 * std::sin(time_s * 1.5708)); }

std::string kind_of(const std::string& text, const ReadSettings& settings = {}) {
    const Recording recording = csv(text, settings);
    return std::string(to_string(recording.channels.at(0).kind)) + (has_doubt(recording, "kind_doubtful") ? " doubted" : "");
}

// Ten records of 200 samples; every one stamped step_s after the one ahead, the header says duration.
Recording evenly_stamped(double step_s, const std::string& duration, std::string_view kind = "EDF+C") {
    BuiltEdf file = small_edf_plus(kind);
    file.records = 10;
    file.duration = duration;
    std::vector<std::string> stamps;
    for (int i = 0; i < 10; ++i) stamps.push_back(stamp(fmt::format("+{:.3f}", step_s * i)));
    file.signals[1] = annotation_signal(stamps, 30);
    return read_edf(file.bytes(), "f");
}

std::string stamped_refusal(double step_s, const std::string& duration, std::string_view kind = "EDF+C") {
    try {
        evenly_stamped(step_s, duration, kind);
    } catch (const Error& error) {
        return error.what();
    }
    return "read";
}

std::string refusal_of(const std::string& text) {
    try {
        read_recording(text, "x.csv");
    } catch (const Error& error) {
        return error.what();
    }
    return "read";
}

const ReadSettings kAsked2000{.rate = Hertz{2000}, .unit = "", .kind = {}};

}  // namespace

TEST_CASE("a record duration that all record times contradict is not believed") {
    for (const char* duration : {"1.01", "1.02", "0.98"}) {
        const Recording recording = evenly_stamped(1.0, duration);
        CHECK(recording.channels[0].rate.value == doctest::Approx(200.0).epsilon(1e-9));
        CHECK(recording.channels[0].samples.size() == 2000);
        CHECK(recording.gaps.empty());
        CHECK(has_doubt(recording, "record_duration_wrong"));
    }
    CHECK(stamped_refusal(1.0, "2") ==
          "f:byte 244, record duration: two record durations, so the sampling rate is unknown: saw 2 s in the header and 1 s from each "
          "record's time to the next throughout, expected one\nhint: export the recording again");
    CHECK(stamped_refusal(1.0, "0.5") != "read");
    CHECK(evenly_stamped(1.0, "1").notes.empty());
}

TEST_CASE("equal gaps behind every record of a discontinuous file are kept and doubted") {
    const Recording recording = evenly_stamped(2.0, "1", "EDF+D");
    CHECK(recording.gaps.size() == 9);
    CHECK(has_doubt(recording, "records_apart_alike"));
    CHECK(stamped_refusal(0.5, "1", "EDF+D") != "read");
}

TEST_CASE("what leaves times or marks of an EDF file open is doubted") {
    const auto with = [](std::vector<std::string> stamps, std::string_view kind, const std::string& code) {
        BuiltEdf file = small_edf_plus(kind);
        file.records = stamps.size();
        file.signals[1] = annotation_signal(std::move(stamps), 60);
        return has_doubt(read_edf(file.bytes(), "f"), code);
    };
    CHECK(with({stamp("+0"), stamp("+0.5")}, "EDF+C", "records_overlap"));
    CHECK(with({stamp("+0"), stamp("+4.5")}, "EDF+C", "record_times_jump"));
    CHECK(with({stamp("+0"), std::string(1, '\0'), stamp("+2")}, "EDF+D", "record_time_lost"));
    CHECK_FALSE(with({stamp("+0"), std::string(1, '\0'), stamp("+2")}, "EDF+C", "record_time_lost"));
    CHECK(with({stamp("+0") + tal("+x", "", "contract"), stamp("+1")}, "EDF+C", "annotation_unreadable"));
    CHECK(with({stamp("+0") + tal("+20", "", "contract") + tal("+25", "", "relax"), stamp("+1")}, "EDF+C", "marks_outside"));
    CHECK_FALSE(with({stamp("+0") + tal("+2.1", "", "stop"), stamp("+1")}, "EDF+C", "marks_outside"));
    std::vector<std::string> drifting;
    for (int i = 0; i < 200; ++i) drifting.push_back(stamp(fmt::format("+{:.3f}", 1.001 * i)));
    CHECK(with(drifting, "EDF+C", "record_times_drift"));
    BuiltEdf dated = small_edf_plus();
    dated.recording = "Startdate 05-MAR-2026 X X X";
    CHECK(has_doubt(read_edf(dated.bytes(), "f"), "start_date_conflict"));
}

TEST_CASE("a rate that changes inside a file is refused with its place") {
    for (const double second_hz : {500.0, 700.0, 950.0, 1100.0, 2000.0}) {
        std::string text = "time_s,EMG_uV\n";
        for (int i = 0; i < 6000; ++i) text += fmt::format("{:.6f},{}\n", i < 3000 ? i / 1000.0 : 3.0 + (i - 3000) / second_hz, i % 7 - 3);
        const std::string error = error_of(text);
        INFO(second_hz, error);
        CHECK(error.find("the rate changes at a time of ") != std::string::npos);
        CHECK((error.find("x.csv:row 3000:") == 0 || error.find("x.csv:row 3001:") == 0));
    }
}

TEST_CASE("a rate given against a column of times is refused unless the column cannot be right") {
    CHECK(error_of(raw(1000), kAsked2000) ==
          "x.csv: the rate given is not that of the file: saw 2000 Hz, expected 1000 Hz as its time column runs\nhint: leave out --rate; "
          "if the time column is wrong, take it out of the file");
    CHECK(csv(raw(2000), kAsked2000).channels.at(0).rate.value == 2000.0);
    CHECK_FALSE(has_doubt(csv(raw(2000), kAsked2000), "rate_given"));
    std::string milliseconds = "time_s,EMG_uV\n";
    for (int i = 0; i < 2000; ++i) milliseconds += fmt::format("{},{}\n", i, i % 7 - 3);
    const Recording told = csv(milliseconds, kAsked2000);
    CHECK(told.channels.at(0).rate.value == 2000.0);
    CHECK(has_doubt(told, "rate_given"));
    CHECK(has_doubt(csv("# rate_hz: 1000\nEMG_uV\n1\n-2\n3\n-4\n", kAsked2000), "rate_given"));
}

TEST_CASE("rows that are missing singly all over are doubted and a few gaps are not") {
    const auto without = [](auto is_lost) {
        std::string text = "time_s,EMG_uV\n";
        for (int i = 0; i < 6000; ++i) {
            if (!is_lost(i)) text += fmt::format("{:.3f},{}\n", i / 1000.0, i % 7 - 3);
        }
        return csv(text);
    };
    const Recording sieve = without([](int i) { return i * 7919 % 101 < 10; });
    CHECK(has_note(sieve, "time_gaps"));
    CHECK(has_doubt(sieve, "rows_missing_all_over"));
    CHECK_FALSE(has_note(without([](int i) { return i % 1000 == 500; }), "rows_missing_all_over"));
    CHECK_FALSE(has_note(without([](int i) { return i % 40 > 35; }), "rows_missing_all_over"));
}

TEST_CASE("times that would make a recorder slower than any are asked about") {
    std::string text = "time_s,EMG_uV\n";
    for (int i = 0; i < 2000; ++i) text += fmt::format("{},{}\n", i, i % 7 - 3);
    CHECK(refusal_of(text) ==
          "x.csv: no rate of a recorder: saw 1 Hz, expected at least 4 Hz\nhint: are the times milliseconds? name the column time_ms, or "
          "--rate HZ says the rate");
}

TEST_CASE("a start above the data that its first row contradicts is doubted") {
    const auto started = [](const std::string& start) {
        std::string text = "# start: " + start + "\ntime,EMG_uV\n";
        for (int i = 0; i < 200; ++i) text += fmt::format("2026-03-02T07:30:05.{:03},{}\n", 5 * i, i % 5 - 2);
        return has_doubt(csv(text), "start_differs");
    };
    CHECK(started("2026-03-03T07:30"));
    CHECK(started("2026-03-02T08:30"));
    CHECK_FALSE(started("2026-03-02T07:30"));
    CHECK_FALSE(started("2026-03-02T06:30Z"));
    CHECK_FALSE(started("2026-03-02"));
}

TEST_CASE("two persons in a file are refused wherever the second stands") {
    const std::string named = raw(200, "# person: A\n# person: A\ntime_s,EMG_uV\n");
    CHECK(error_of(named) == "read");
    CHECK(error_of(named + "# person: A\n#person:\n12.0,1\n") == "read");
    CHECK(error_of(raw(200, "# person: A\n# person: B\ntime_s,EMG_uV\n")) ==
          "x.csv:2: two persons in one file: saw 'A' and 'B', expected one\nhint: split the file, or correct the line that is wrong");
    CHECK(error_of(named + "# person: B\n12.0,1\n").find("x.csv:2404: two persons in one file") == 0);
    CHECK(csv(raw(200) + "# person: A\n12.0,1\n").person == "A");
}

TEST_CASE("of two starts and postures and kinds the first is taken and doubted") {
    const auto twice = [](const std::string& key, const std::string& first, const std::string& second) {
        return fmt::format("# {0}: {1}\n# {0}: {2}\ntime_s,EMG_uV\n", key, first, second);
    };
    const Recording started = csv(raw(200, twice("start", "2026-03-02T07:30", "2025-03-02T07:30")));
    CHECK(to_text(*started.start) == "2026-03-02T07:30:00");
    CHECK(has_doubt(started, "start_said_twice"));
    const Recording lying = csv(raw(200, twice("posture", "lying", "standing")));
    CHECK(lying.posture == "lying");
    CHECK(note_text(lying, "posture_said_twice") == "the file says 'lying' and 'standing' as its posture; the first was taken");
    CHECK(has_doubt(csv(raw(200, twice("kind", "raw", "envelope"))), "kind_said_twice"));
    CHECK(has_doubt(csv(raw(200, "# posture: lying\ntime_s,EMG_uV\n") + "# posture: sitting\n12.0,1\n"), "posture_said_twice"));
    for (const char* key : {"start", "posture", "kind"}) {
        const std::string value = key == std::string("start") ? "2026-03-02" : key == std::string("kind") ? "raw" : "lying";
        CHECK_FALSE(has_doubt(csv(raw(200, twice(key, value, value))), std::string(key) + "_said_twice"));
    }
}

TEST_CASE("two rates above and beside the data are doubted") {
    CHECK(has_doubt(csv(raw(1000, "# rate_hz: 500\ntime_s,EMG_uV\n")), "rate_differs"));
    CHECK(has_doubt(csv(raw(1000, "# rate_hz: 1000\n# fs: 500\ntime_s,EMG_uV\n")), "rate_said_twice"));
}

TEST_CASE("a raw trace on an offset stays raw and an amplitude stays one") {
    const auto on = [](double offset) { return [offset](double, double x) { return offset + x; }; };
    CHECK(kind_of(trace(1000, 12, on(500))) == "raw");
    CHECK(kind_of(trace(1000, 12, on(90))) == "raw");
    CHECK(kind_of(trace(250, 12, on(500))) == "raw");
    CHECK(kind_of(trace(1000, 12, [](double t, double x) { return 800 + 300 * std::sin(t) + x; })) == "raw");  // with drift
    CHECK(kind_of(trace(1000, 12, [](double, double x) { return std::abs(x); })) == "envelope");               // rectified
    CHECK(kind_of(trace(1000, 12, [](double t, double x) { return amplitude(t) * (1.0 + 0.001 * x); })) == "envelope");
    CHECK(kind_of(trace(10, 12, [](double t, double) { return amplitude(t); })) == "envelope");
}

TEST_CASE("negative values rule an amplitude out at any rate") {
    CHECK(kind_of(raw(100)) == "raw doubted");  // too slow for either: an amplitude less an offset is negative too
    CHECK(kind_of(raw(50)) == "raw doubted");
    CHECK(kind_of(raw(1000)) == "raw");
}

TEST_CASE("what file or user say is followed, with a doubt where the samples say the contrary") {
    CHECK(kind_of(raw(1000, "time_s,EMG_rms_uV\n")) == "envelope doubted");
    CHECK(kind_of(raw(1000, "# kind: envelope\ntime_s,EMG_uV\n")) == "envelope doubted");
    CHECK(kind_of(raw(1000), {.rate = {}, .unit = "", .kind = ChannelKind::envelope}) == "envelope doubted");
    const auto smooth = [](double t, double) { return amplitude(t); };
    CHECK(kind_of(trace(1000, 12, smooth, "# kind: raw\ntime_s,EMG_uV\n")) == "raw doubted");
    CHECK(kind_of(trace(1000, 12, smooth, "# kind: envelope\ntime_s,EMG_uV\n")) == "envelope");
}

TEST_CASE("two units for one column are refused and the user's word settles it") {
    const ReadSettings millivolts{.rate = {}, .unit = "mV", .kind = {}};
    const std::string in_name = raw(200, "# unit: uV\ntime_s,EMG (mV)\n");
    CHECK(error_of(in_name) ==
          "x.csv: two units for 'EMG': saw 'mV' in its heading and 'uV' in a line above the data, expected one\nhint: look up which is right and "
          "say it: --unit uV, --unit mV or --unit V");
    const std::string in_lines = raw(200, "# unit: uV\n# units: mV\ntime_s,EMG\n");
    CHECK(error_of(in_lines).find("two units for 'EMG': saw 'mV' in one line and 'uV'") != std::string::npos);
    const std::string in_rows = "time_s,EMG (uV)\ns,mV\n0.000,1\n0.001,-2\n0.002,1\n0.003,-1\n";
    CHECK(error_of(in_rows).find("two units for 'EMG': saw 'uV' in its name and 'mV' in the row of units, expected one") != std::string::npos);
    for (const std::string& text : {in_name, in_lines}) CHECK(csv(text, millivolts).channels.at(0).unit == "mV");
    CHECK(error_of(raw(200, "# unit: \xC2\xB5V\ntime_s,EMG (uV)\n")) == "read");
}

TEST_CASE("a unit of no known size is named in a doubt and one of another quantity is no voltage") {
    for (const char* head : {"time_s,EMG (counts)\n", "# unit: counts\ntime_s,EMG\n"}) {
        const Recording recording = csv(raw(200, head));
        CHECK(recording.channels.at(0).unit == "counts");
        CHECK(has_doubt(recording, "unit_assumed"));
        CHECK(note_text(recording, "unit_assumed") == "the unit 'counts' of 'EMG' has no known size; microvolts were assumed, and values may be wrong by a "
              "constant factor");
    }
    CHECK(csv(raw(200, "time_s,EMG (nV)\n")).channels.at(0).unit == "nV");
    CHECK(csv(raw(200, "time_s,EMG_nV\n")).channels.at(0).samples.at(0) == doctest::Approx(csv(raw(200)).channels.at(0).samples.at(0) * 1e-3));
    for (const char* head : {"time_s,ax (g)\n", "time_s,acc m/s2\n", "time_s,acc_x\n", "# unit: m/s2\ntime_s,x\n"}) {
        INFO(head);
        CHECK(csv(raw(200, head)).channels.at(0).kind == ChannelKind::other);
    }
}

TEST_CASE("a mark on a single row says when and not how long") {
    std::string text = "time_s,EMG_uV,marker\n";
    for (int i = 0; i < 4000; ++i) text += fmt::format("{:.3f},{},{}\n", 0.001 * i, i % 7 - 3, i == 1000 ? "contract" : i == 3000 ? "relax" : "");
    const Recording recording = csv(text);
    REQUIRE(recording.marks.size() == 2);
    CHECK(recording.marks[0] == Mark{1.0, 0.0, "contract"});
}

TEST_CASE("channels with the very same samples doubt each other, holes and all, and no third one") {
    std::string text = "time_s,a_uV,b_uV,c_uV,d_uV\n";
    for (int i = 0; i < 400; ++i) {
        const std::string same = i % 50 == 7 ? "" : fmt::format("{}", i % 13 - 6);
        text += fmt::format("{:.3f},{},{},{},{}\n", 0.005 * i, same, i % 11 - 5, same, i == 399 ? "9" : same);
    }
    const Recording recording = read_recording(text, "x.csv");
    REQUIRE(recording.channels.size() == 4);
    const auto twin_of = [&](std::size_t channel) {
        Recording alone;
        alone.channels = {recording.channels[channel]};
        return has_doubt(alone, "channel_twice") ? note_text(alone, "channel_twice") : "none";
    };
    CHECK(twin_of(0) == "channel 3 of the file has the very same samples: one of the two is not what its name says");
    CHECK(twin_of(2) == "channel 1 of the file has the very same samples: one of the two is not what its name says");
    CHECK(twin_of(1) == "none");
    CHECK(twin_of(3) == "none");
}
