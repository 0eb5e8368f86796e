#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "tracehold/core/error.hpp"
#include "tracehold/exchange/write_recording.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;

namespace {

const float kNone = std::numeric_limits<float>::quiet_NaN();

Recording small_recording() {
    Recording r;
    r.source = "small";
    r.person = "P-014";
    r.start = parse_civil_time("2026-03-02T07:30:05.250");
    r.posture = "lying";
    r.channels.resize(1);
    r.channels[0].label = "EMG PFM";
    r.channels[0].unit = "uV";
    r.channels[0].rate = Hertz{4};
    r.channels[0].samples = {1.5f, -2.25f, 0.0004f, -0.0004f, 3, 4, 5, 6};
    r.marks = {{0.25, 0, "contract"}, {1.0, 0, "relax"}};
    return r;
}

// 40 s at 1000 Hz with work in it, so that a reader meets ordinary rows.
Recording long_recording(double rate_hz) {
    Recording r = small_recording();
    Channel& channel = r.channels[0];
    channel.rate = Hertz{rate_hz};
    channel.samples.clear();
    for (int i = 0; i < static_cast<int>(40 * rate_hz); ++i) {
        channel.samples.push_back(static_cast<float>(20 * std::sin(0.37 * i) + 7 * std::sin(0.011 * i * i)));
    }
    r.marks = {{10, 0, "contract"}, {18, 0, "relax"}, {28, 0, "contract"}, {36, 0, "relax"}};
    return r;
}

// Time and text; a column of states also tells how long each lasts.
bool same_marks(const std::vector<Mark>& a, const std::vector<Mark>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const Mark& x, const Mark& y) {
        return std::abs(x.time_s - y.time_s) < 1e-9 && x.text == y.text;
    });
}

std::string refusal(const Recording& recording, const RecordingCsvStyle& style = {}) {
    try {
        recording_csv(recording, style);
    } catch (const Error& error) {
        CHECK(error.kind == ErrorKind::bad_setting);
        return error.message;
    }
    return "";
}

}  // namespace

TEST_CASE("a small recording as CSV is written as expected byte by byte") {
    CHECK(recording_csv(small_recording()) ==
          "# person: P-014\n# start: 2026-03-02T07:30:05.250\n# posture: lying\n# rate_hz: 4\n# unit: uV\n# kind: raw\n"
          "time_s,EMG PFM (uV),marker\n"
          "0.00,1.500,\n0.25,-2.250,contract\n0.50,0.000,contract\n0.75,0.000,contract\n"
          "1.00,3.000,relax\n1.25,4.000,relax\n1.50,5.000,relax\n1.75,6.000,relax\n");
}

TEST_CASE("another style changes delimiter and decimal mark and unit") {
    Recording r = small_recording();
    r.marks.clear();
    r.channels[0].samples.resize(2);
    CHECK(recording_csv(r, {';', ',', "mV", false, 6}) ==
          "# person: P-014\n# start: 2026-03-02T07:30:05.250\n# posture: lying\n# rate_hz: 4\n# unit: mV\n# kind: raw\n"
          "EMG PFM (mV)\n0,001500\n-0,002250\n");
}

TEST_CASE("a simulated recording says so in the file") {
    Recording r = small_recording();
    r.format = FileFormat::simulated;
    CHECK(recording_csv(r).find("# simulated: yes\n") != std::string::npos);
}

TEST_CASE("a missing sample is an empty cell and a text with the delimiter is quoted") {
    Recording r = small_recording();
    r.channels[0].samples = {1, kNone, 3};
    r.channels[0].label = "EMG, \"left\"";
    r.marks = {{0, 0, "a,b"}};
    const std::string text = recording_csv(r);
    CHECK(text.find("\n0.25,,\"a,b\"\n") != std::string::npos);
    CHECK(text.find("time_s,\"EMG, \"\"left\"\" (uV)\",marker\n") != std::string::npos);
}

TEST_CASE("a mark that repeats the text of the one before it is still a change of the column") {
    Recording r = small_recording();
    r.marks = {{0.25, 0, "go"}, {1.0, 0, "go"}};
    const std::string text = recording_csv(r);
    CHECK(text.find("0.50,0.000,go\n0.75,0.000,\n1.00,3.000,go\n") != std::string::npos);
}

TEST_CASE("times have the decimals that their rate needs") {
    const auto second_time = [](double rate_hz) {
        Recording r = small_recording();
        r.marks.clear();
        r.channels[0].rate = Hertz{rate_hz};
        const std::string text = recording_csv(r);
        const std::size_t row = text.find("\n", text.find("1.500")) + 1;
        return text.substr(row, text.find(',', row) - row);
    };
    CHECK(second_time(1) == "1");
    CHECK(second_time(20) == "0.05");
    CHECK(second_time(2000) == "0.0005");
    CHECK(second_time(1024) == "0.000977");
    CHECK(second_time(0.5) == "2");
}

TEST_CASE("large and small values keep their decimals") {
    Recording r = small_recording();
    r.marks.clear();
    r.channels[0].samples = {1e15f, -0.0005f, 32767.25f};
    const std::string text = recording_csv(r);
    CHECK(text.find("0.00,999999986991104.000\n0.25,-0.001\n0.50,32767.250\n") != std::string::npos);
}

TEST_CASE("what one table cannot hold is refused by name") {
    Recording r = small_recording();
    r.channels.push_back(r.channels[0]);
    r.channels[1].rate = Hertz{8};
    CHECK(refusal(r) == "several rates in one table: saw 4 and 8 Hz, expected one");
    r.channels[1].rate = Hertz{4};
    r.channels[1].samples.pop_back();
    CHECK(refusal(r) == "channels of several lengths, expected one");
    CHECK(refusal(small_recording(), {',', ','}) ==
          "the delimiter is the decimal mark too, expected two different ones");
    CHECK(refusal(small_recording(), {',', '.', "kV"}) == "no unit of a voltage: saw 'kV', expected uV, mV or V");
    CHECK(refusal(small_recording(), {',', '.', "uV", true, 10}) == "decimals out of range: saw 10, expected 0 to 9");
}

TEST_CASE("a written CSV reads back as the same recording in every style") {
    const Recording wanted = long_recording(1000);
    const std::vector<RecordingCsvStyle> styles = {
        {}, {';', ',', "uV"}, {'\t', '.', "mV", true, 7}, {';', ',', "V", true, 9}, {',', '.', "uV", false}};
    for (const RecordingCsvStyle& style : styles) {
        CAPTURE(style.unit + style.delimiter + style.decimal);
        const Recording got = read_recording(recording_csv(wanted, style), "copy.csv");
        const double gain = style.unit == "uV" ? 1 : style.unit == "mV" ? 1e3 : 1e6;
        CHECK(got.person == "P-014");
        CHECK(got.start == wanted.start);
        CHECK(got.posture == "lying");
        CHECK(same_marks(got.marks, wanted.marks));
        REQUIRE(got.channels.size() == 1);
        CHECK(got.channels[0].label == "EMG PFM");
        CHECK(got.channels[0].kind == ChannelKind::raw);
        CHECK(got.channels[0].rate.value == doctest::Approx(1000).epsilon(1e-9));
        REQUIRE(got.channels[0].samples.size() == wanted.channels[0].samples.size());
        const double half = 0.5 * std::pow(10.0, -style.decimals) * gain + 1e-5;
        double worst = 0;
        for (std::size_t i = 0; i < got.channels[0].samples.size(); ++i) {
            worst = std::max(worst, std::abs(double{got.channels[0].samples[i]} - wanted.channels[0].samples[i]));
        }
        CHECK(worst <= half);
    }
}

TEST_CASE("an envelope reads back as an envelope at its rate with its marks") {
    Recording wanted = long_recording(20);
    for (float& x : wanted.channels[0].samples) x = std::abs(x);
    wanted.channels[0].kind = ChannelKind::envelope;
    const Recording got = read_recording(recording_csv(wanted), "copy.csv");
    CHECK(got.channels[0].kind == ChannelKind::envelope);
    CHECK(got.channels[0].rate.value == doctest::Approx(20).epsilon(1e-9));
    CHECK(same_marks(got.marks, wanted.marks));
}

TEST_CASE("missing samples read back as missing") {
    Recording wanted = long_recording(1000);
    for (std::size_t i = 5000; i < 6000; ++i) wanted.channels[0].samples[i] = kNone;
    const Recording got = read_recording(recording_csv(wanted), "copy.csv");
    REQUIRE(got.channels[0].samples.size() == 40000);
    for (std::size_t i = 4990; i < 6010; ++i) {
        CHECK(std::isnan(got.channels[0].samples[i]) == std::isnan(wanted.channels[0].samples[i]));
    }
}
