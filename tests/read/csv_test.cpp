#include <fmt/format.h>

#include <cmath>
#include <cstring>
#include <random>
#include <vector>

#include "read_support.hpp"
#include "support/slow_csv.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::string to_utf16(std::string_view ascii, bool big, bool mark) {
    std::string out = !mark ? "" : big ? "\xFE\xFF" : "\xFF\xFE";
    for (const char c : ascii) {
        if (big) out += '\0';
        out += c;
        if (!big) out += '\0';
    }
    return out;
}

std::string joined(const std::vector<std::string>& cells, char delimiter) {
    std::string line;
    for (const std::string& cell : cells) line += (line.empty() ? "" : std::string(1, delimiter)) + cell;
    return line;
}

// 400 ms of a made-up trace at 1000 Hz in mV.
std::string made_up(char delimiter, char mark, const std::string& line_end, bool header) {
    std::string text = header ? joined({"time_s", "emg_mV", "angle_deg"}, delimiter) + line_end : "";
    for (int i = 0; i < 400; ++i) {
        std::string row = joined({fmt::format("{:.3f}", 0.001 * i), fmt::format("{:.4f}", 0.05 * std::sin(0.7 * i)),
                                  fmt::format("{:.1f}", 40 + 0.25 * (i % 9))},
                                 delimiter);
        std::replace(row.begin(), row.end(), '.', mark);
        text += row + line_end;
    }
    return text;
}

bool same_samples(const std::vector<float>& a, const std::vector<float>& b) {
    return a.size() == b.size() && std::memcmp(a.data(), b.data(), a.size() * sizeof(float)) == 0;
}

}  // namespace

TEST_CASE("byte-order marks ahead of the text and of lines in it are passed over, the latter with a note") {
    const std::string mark = "\xEF\xBB\xBF", text = "# start: 2026-03-02T07:40\n# person: P-1\n" + made_up(',', '.', "\n", true);
    const Recording twice = csv(mark + mark + text, {});
    CHECK(twice.person == "P-1");
    CHECK(twice.notes == csv(text, {}).notes);
    const Recording within = csv("# person: P-1\n" + mark + text, {});
    CHECK(within.start.has_value());
    CHECK(within.person == "P-1");
    CHECK(std::any_of(within.notes.begin(), within.notes.end(), [](const Note& note) { return note.code == "byte_order_marks"; }));
}

TEST_CASE("every crossing of delimiter and mark and line end and encoding and header gives the same samples") {
    const Recording plain = csv(made_up(',', '.', "\n", true));
    REQUIRE(plain.channels.size() == 2);
    CHECK(plain.channels[0].label == "emg");
    CHECK(plain.channels[0].unit == "mV");
    CHECK(plain.channels[0].kind == ChannelKind::raw);
    CHECK(plain.channels[1].kind == ChannelKind::other);
    CHECK(plain.channels[1].unit == "deg");
    CHECK(plain.channels[0].rate.value == 1000.0);
    CHECK(plain.channels[0].samples.size() == 400);
    int read = 0;
    for (const char delimiter : {',', ';', '\t', '|', ' '}) {
        for (const char mark : {'.', ','}) {
            if (delimiter == ',' && mark == ',') continue;  // cannot be told apart
            for (const std::string line_end : {"\n", "\r\n", "\r"}) {
                for (const bool header : {true, false}) {
                    const std::string text = made_up(delimiter, mark, line_end, header);
                    ReadSettings settings;
                    if (!header) settings.unit = "mV";
                    for (const std::string& bytes :
                         {text, "\xEF\xBB\xBF" + text, to_utf16(text, false, true), to_utf16(text, true, true),
                          to_utf16(text, false, false), to_utf16(text, true, false)}) {
                        CAPTURE(delimiter);
                        CAPTURE(mark);
                        CAPTURE(line_end.size());
                        CAPTURE(header);
                        const Recording other = csv(bytes, settings);
                        REQUIRE(other.channels.size() == 2);
                        CHECK(other.channels[0].rate == plain.channels[0].rate);
                        CHECK(same_samples(other.channels[0].samples, plain.channels[0].samples));
                        if (header) CHECK(same_samples(other.channels[1].samples, plain.channels[1].samples));
                        ++read;
                    }
                }
            }
        }
    }
    CHECK(read == 9 * 3 * 2 * 6);
}

TEST_CASE("quoted cells with commas as delimiter and as mark are told apart") {
    std::string text = "\"time_s\",\"emg_uV\"\r\n";
    for (int i = 0; i < 50; ++i) text += fmt::format("\"0,{:03}\",\"{},5\"\r\n", i, i % 7 - 3);
    const Recording recording = csv(text);
    CHECK(recording.channels.at(0).rate.value == 1000.0);
    CHECK(recording.channels.at(0).samples.at(1) == -2.5f);
}

TEST_CASE("the fast reader agrees bit for bit with the slow twin on random numbers of all shapes") {
    std::mt19937_64 random(20260302);
    std::string text = "time_s,a_mV,b_uV,c_V\n";
    for (int i = 0; i < 20000; ++i) {
        text += fmt::format("{:.4f}", 0.0005 * i);
        for (int c = 0; c < 3; ++c) {
            const double value = (static_cast<double>(random() >> 11) / 9007199254740992.0 - 0.5) *
                                 std::pow(10.0, static_cast<double>(random() % 12) - 6);
            switch (random() % 4) {
                case 0: text += fmt::format(",{}", value); break;
                case 1: text += fmt::format(",{:.17g}", value); break;
                case 2: text += fmt::format(",{:.{}f}", value, random() % 19); break;
                default: text += fmt::format(",{:.{}e}", value, random() % 18); break;
            }
        }
        text += '\n';
    }
    const Recording fast = csv(text);
    const auto slow = slow_csv(text, {});
    REQUIRE(fast.channels.size() == 3);
    const double factors[] = {1e3, 1.0, 1e6};
    for (std::size_t c = 0; c < 3; ++c) {
        std::vector<float> expected;
        for (const double value : slow[c + 1]) expected.push_back(static_cast<float>(value * factors[c]));
        CHECK(same_samples(fast.channels[c].samples, expected));
    }
    CHECK(fast.channels[0].rate.value == 2000.0);
}

TEST_CASE("units in names and lines and from the user become microvolts") {
    const auto first = [](const std::string& head, const ReadSettings& settings = {}) {
        std::string text = head;
        for (int i = 0; i < 40; ++i) text += fmt::format("{:.3f};{}\n", 0.002 * i, i % 2 ? -1.5 : 0.25);
        const Recording recording = csv(text, settings);
        const Channel& channel = recording.channels.at(0);
        return fmt::format("{}|{}|{}|{}", channel.label, channel.unit, channel.samples[1], channel.unit_known);
    };
    CHECK(first("time_s;emg_mV\n") == "emg|mV|-1500|true");
    CHECK(first("Time [s];EMG PFM (uV)\n") == "EMG PFM|uV|-1.5|true");
    CHECK(first("Time [s];EMG [\xC2\xB5V]\n") == "EMG|\xC2\xB5V|-1.5|true");
    CHECK(first("Time [s];EMG [\xCE\xBCV]\n") == "EMG|\xCE\xBCV|-1.5|true");
    CHECK(first("Time [s];EMG [\xB5V]\n") == "EMG|\xC2\xB5V|-1.5|true");  // Latin-1
    CHECK(first("t;EMG Abd V\n") == "EMG Abd|V|-1500000|true");
    CHECK(first("t;mV\n") == "mV|mV|-1500|true");
    CHECK(first("# unit: mV\nt;EMG\n") == "EMG|mV|-1500|true");
    CHECK(first("time;EMG\ns;mV\n") == "EMG|mV|-1500|true");  // a row of units
    CHECK(first("time_s;EMG (mV)\ns;mV\n") == "EMG|mV|-1500|true");  // that says what the names say
    CHECK(first("time_s;EMG_mV\n[s];[mV]\n") == "EMG|mV|-1500|true");
    CHECK(first("time;EMG\n[-];[mV]\n") == "EMG|mV|-1500|true");
    CHECK(first("time;EMG\nn/a;mV\n") == "EMG|mV|-1500|true");
    CHECK(first("t;EMG\n") == "EMG||-1.5|false");
    CHECK(first("t;EMG (counts)\n") == "EMG|counts|-1.5|false");
    CHECK(first("t;EMG_uV\n", {.rate = {}, .unit = "mV", .kind = {}}) == "EMG|mV|-1500|true");
}

TEST_CASE("time columns of every kind give rate and start") {
    const auto timed = [](const std::string& name, const auto& stamp) {
        std::string text = name + ";EMG_uV\n";
        for (int i = 0; i < 300; ++i) text += stamp(i) + fmt::format(";{}\n", i % 5 - 2);
        const Recording recording = csv(text);
        return fmt::format("{} {} {}", recording.channels.at(0).rate.value, recording.channels.at(0).samples.size(),
                           recording.start ? to_text(*recording.start) : "-");
    };
    CHECK(timed("ms", [](int i) { return fmt::format("{}", 2 * i); }) == "500 300 -");
    CHECK(timed("time (ms)", [](int i) { return fmt::format("{}", 2 * i); }) == "500 300 -");
    CHECK(timed("s", [](int i) { return fmt::format("{:.3f}", 0.002 * i); }) == "500 300 -");
    CHECK(timed("t", [](int i) { return fmt::format("{}", 2 * i); }) == "500 300 -");
    CHECK(timed("time_us", [](int i) { return fmt::format("{}", 500 * i); }) == "2000 300 -");
    CHECK(timed("clock", [](int i) { return fmt::format("23:59:59.{:03}", 2 * i); }) == "500 300 -");
    CHECK(timed("clock", [](int i) {
              return fmt::format("{}:{:02}:{:02}.{:03}", i < 100 ? 23 : 0, i < 100 ? 59 : 0, i < 100 ? 59 : 0,
                                 i < 100 ? 800 + 2 * i : 2 * (i - 100));
          }) == "500 300 -");
    CHECK(timed("time", [](int i) { return fmt::format("2026-03-02T07:30:05.{:04}", 5 * i); }) ==
          "2000 300 2026-03-02T07:30:05");
    CHECK(timed("time", [](int i) { return fmt::format("2026-03-02 07:30:05,{:03}+01:00", 2 * i); }) ==
          "500 300 2026-03-02T07:30:05+01:00");
    CHECK(timed("date;clock", [](int i) { return fmt::format("2.3.2026;07:30:05,{:03}", 2 * i); }) ==
          "500 300 2026-03-02T07:30:05");
    CHECK(timed("time_s", [](int i) { return fmt::format("{:.4f}", i / 1024.0); }) == "1024 300 -");
}

TEST_CASE("a rate in stamps that are rounded or come in blocks is the mean one") {
    const auto rate = [](double hz, double step_of_stamps, int count) {
        std::string text = "time_s;EMG_uV\n";
        for (int i = 0; i < count; ++i) {
            text += fmt::format("{:.3f};{}\n", std::floor(i / hz / step_of_stamps + 1e-9) * step_of_stamps, i % 5 - 2);
        }
        const Recording recording = csv(text);
        CHECK(recording.gaps.empty());
        CHECK(recording.channels.at(0).samples.size() == static_cast<std::size_t>(count));
        return recording.channels.at(0).rate.value;
    };
    CHECK(rate(1000, 0.001, 3000) == 1000.0);
    CHECK(rate(400, 0.001, 3000) == 400.0);
    CHECK(rate(900, 0.001, 30000) == doctest::Approx(900).epsilon(1e-4));
    CHECK(rate(2048, 0.001, 30000) == doctest::Approx(2048).epsilon(1e-3));
    CHECK(rate(1000, 1.0, 20300) == 1000.0);
    CHECK(rate(250, 0.040, 3000) == 250.0);
}

TEST_CASE("gaps in time are kept as gaps and marked as missing") {
    std::string text = "time_s,EMG_uV\n";
    for (int i = 0; i < 1000; ++i) {
        if (i >= 300 && i < 550) continue;  // a quarter of a second lost
        if (i == 700) continue;             // one sample lost
        text += fmt::format("{:.3f},{}\n", 12.0 + 0.001 * i, i % 7 - 3);
    }
    const Recording recording = csv(text);
    const Channel& channel = recording.channels.at(0);
    CHECK(channel.rate.value == 1000.0);
    REQUIRE(channel.samples.size() == 1000);
    REQUIRE(recording.gaps.size() == 2);
    CHECK(recording.gaps[0] == TimeSpan{0.3, 0.55});
    CHECK(recording.gaps[1] == TimeSpan{0.7, 0.701});
    for (int i = 0; i < 1000; ++i) {
        const bool missing = (i >= 300 && i < 550) || i == 700;
        CHECK(std::isnan(channel.samples[static_cast<std::size_t>(i)]) == missing);
        if (!missing) CHECK(channel.samples[static_cast<std::size_t>(i)] == static_cast<float>(i % 7 - 3));
    }
    CHECK(note_text(recording, "time_gaps") == "gaps in the time column, kept as gaps: 2, 0.251 s together");
}

TEST_CASE("a little jitter is no gap and a clock that goes back is noted") {
    std::string jitter = "time_s,EMG_uV\n", back = jitter;
    std::mt19937 random(7);
    for (int i = 0; i < 2000; ++i) {
        jitter += fmt::format("{:.6f},{}\n", 0.002 * i + 0.0004 * (static_cast<double>(random()) / 4294967296.0 - 0.5),
                              i % 7 - 3);
        back += fmt::format("{:.3f},{}\n", 0.002 * (i % 1000), i % 7 - 3);
    }
    const Recording first = csv(jitter);
    CHECK(first.gaps.empty());
    CHECK(first.channels.at(0).rate.value == doctest::Approx(500).epsilon(1e-3));
    CHECK(has_note(first, "time_jitter"));
    const Recording second = csv(back);
    CHECK(second.channels.at(0).rate.value == 500.0);
    REQUIRE(second.channels.at(0).samples.size() == 2001);
    CHECK(std::isnan(second.channels.at(0).samples[1000]));
    CHECK(second.gaps.size() == 1);
    CHECK(note_text(second, "time_goes_back") ==
          "places where time goes back: 1; what follows was put behind a gap of one step");
}

TEST_CASE("changes in a marker column become marks that last until the next change") {
    std::string text = "time_s;envelope_uV;phase\n";
    for (int i = 0; i < 200; ++i) {
        text += fmt::format("{:.1f};{};{}\n", 0.1 * i, 5 + i % 3,
                            i < 50    ? ""
                            : i < 100 ? "work"
                            : i < 150 ? "rest"
                                      : "\"work, \"\"hard\"\"\"");
    }
    const Recording recording = csv(text);
    REQUIRE(recording.channels.size() == 1);
    CHECK(recording.channels[0].kind == ChannelKind::envelope);
    CHECK(recording.channels[0].rate.value == 10.0);
    REQUIRE(recording.marks.size() == 3);
    CHECK(recording.marks[0] == Mark{5.0, 5.0, "work"});
    CHECK(recording.marks[1] == Mark{10.0, 5.0, "rest"});
    CHECK(recording.marks[2].text == "work, \"hard\"");
    CHECK(recording.marks[2].duration_s == 5.0);
}

TEST_CASE("an empty marker ends the one before and numbers may mark too") {
    std::string text = "time_s,EMG_uV,marker\n";
    for (int i = 0; i < 100; ++i)
        text += fmt::format("{:.3f},{},{}\n", 0.005 * i, i % 5 - 2, i == 20 || i == 60 ? "1" : i == 61 ? "2" : "");
    const Recording recording = csv(text);
    REQUIRE(recording.marks.size() == 3);
    CHECK(recording.marks[0] == Mark{0.1, 0.0, "1"});
    CHECK(recording.marks[1] == Mark{0.3, 0.0, "1"});
    CHECK(recording.marks[2] == Mark{0.305, 0.0, "2"});
}

TEST_CASE("lines above the data say person and start and rate and names") {
    std::string rows;
    for (int i = 0; i < 100; ++i) rows += fmt::format("{};{}\n", i % 5 - 2, i % 3 - 1);
    const Recording recording = csv(
        "# person: P07\n# start: 2026-03-02T07:30\n# posture: lying\n# rate_hz: 2000\n# unit: mV\n# kind: raw\na;b\n" +
        rows);
    CHECK(recording.person == "P07");
    CHECK(to_text(recording.start.value()) == "2026-03-02T07:30:00");
    CHECK(recording.posture == "lying");
    CHECK(recording.channels.at(1).rate.value == 2000.0);
    CHECK(recording.channels.at(1).label == "b");
    CHECK(recording.channels.at(1).samples.at(0) == -1000.0f);
    CHECK(csv("Sampling rate;1000 Hz\nPatient no;12\n" + rows).channels.at(0).rate.value == 1000.0);
    CHECK(csv("Recorded with 500 samples per second.\n\n" + rows).channels.at(0).rate.value == 500.0);
    CHECK(csv("# Sampling Rate (Hz):= 250.00\n" + rows).channels.at(0).rate.value == 250.0);
    CHECK(csv("# rate: 250\n# person: =X\n" + rows).person == "=X");
    CHECK(csv("fs = 2,5 kHz\n" + rows).channels.at(0).rate.value == 2500.0);
}

TEST_CASE("envelopes are recognised by name and by rate and by never being negative") {
    const auto kind = [](const std::string& head, double step_s, const auto& value, const ReadSettings& settings = {}) {
        std::string text = head;
        for (int i = 0; i < 300; ++i) text += fmt::format("{:.4f},{}\n", step_s * i, value(i));
        const Recording recording = csv(text, settings);
        return std::string(to_string(recording.channels.at(0).kind)) +
               (has_note(recording, "kind_envelope") ? " noted" : "");
    };
    const auto both = [](int i) { return i % 9 - 4; };
    const auto bursts = [](int i) { return i % 100 < 50 ? 2 + i % 3 : 40 + i % 9; };
    const auto counts = [](int i) { return 2050 + (i % 100 < 50 ? i % 5 - 2 : 30 * (i % 11 - 5)); };
    CHECK(kind("time_s,EMG_uV\n", 0.001, both) == "raw");
    CHECK(kind("time_s,EMG_rms_uV\n", 0.001, both) == "envelope noted");
    CHECK(kind("# kind: envelope\ntime_s,EMG_uV\n", 0.001, both) == "envelope noted");
    CHECK(kind("time_s,EMG_uV\n", 0.01, both) == "raw");
    CHECK(kind("time_s,EMG_uV\n", 0.1, bursts) == "envelope noted");
    CHECK(kind("time_s,EMG_uV\n", 0.001, bursts) == "envelope noted");
    CHECK(kind("# kind: raw\ntime_s,EMG_uV\n", 0.001, bursts) == "raw");
    CHECK(kind("time_s,EMG\n", 0.001, counts) == "raw");
    CHECK(kind("time_s,EMG_uV\n", 0.001, [](int) { return 3; }) == "raw");
    CHECK(kind("time_s,EMG_uV\n", 0.001, both, {.rate = {}, .unit = "", .kind = ChannelKind::envelope}) ==
          "envelope noted");
    CHECK(kind("time_s,EMG_uV\n", 0.1, both, {.rate = {}, .unit = "", .kind = ChannelKind::raw}) == "raw");
}

TEST_CASE("counts of a converter without a unit are named as such") {
    std::string text = "# rate_hz: 1000\n";
    for (int i = 0; i < 300; ++i) text += fmt::format("{}\n", 2050 + 30 * (i % 11 - 5));
    const Recording recording = csv(text);
    CHECK_FALSE(recording.channels.at(0).unit_known);
    CHECK(note_text(recording, "unit_assumed") ==
          "no unit for 'column 1'; microvolts were assumed, and values may be wrong by a constant factor, but whole numbers around 2050 look like counts of a "
          "converter, whose size nobody said");
    CHECK(note_text(recording, "kind_raw") ==
          "'column 1' was read as a raw trace: it is never negative, but swings both ways around 2050");
}

TEST_CASE("the user's rate beats a column of unknown unit and the note says so") {
    std::string text = "time,EMG_uV\n";
    for (int i = 0; i < 100; ++i) text += fmt::format("{:.3f},{}\n", 0.001 * (i < 50 ? i : i + 10), i % 5 - 2);
    const Recording recording = csv(text, {.rate = Hertz{2000}, .unit = "", .kind = {}});
    CHECK(recording.channels.at(0).rate.value == 2000.0);
    CHECK(recording.channels.at(0).samples.size() == 110);
    CHECK(note_text(recording, "rate_given") ==
          "a rate of 2000 Hz was given by the user; the time column runs at 1000 Hz");
    const Recording said = csv("# rate_hz: 2000\n" + text);
    CHECK(said.channels.at(0).rate.value == 1000.0);
    CHECK(note_text(said, "rate_differs") ==
          "the file says 2000 Hz, its time column runs at 1000 Hz; the time column was followed");
}
