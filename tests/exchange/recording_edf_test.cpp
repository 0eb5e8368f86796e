#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/exchange/write_recording.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;

namespace {

const float kMissing = std::numeric_limits<float>::quiet_NaN();

Recording ten_seconds(double rate_hz = 1000) {
    Recording r;
    r.source = "ten";
    r.person = "P-014";
    r.start = parse_civil_time("2026-03-02T07:30:05");
    r.channels.resize(1);
    r.channels[0].label = "EMG PFM";
    r.channels[0].unit = "uV";
    r.channels[0].rate = Hertz{rate_hz};
    for (int i = 0; i < static_cast<int>(10 * rate_hz); ++i) {
        r.channels[0].samples.push_back(static_cast<float>(20 * std::sin(0.37 * i) + 7 * std::sin(0.011 * i * i)));
    }
    r.marks = {{2, 0, "contract"}, {5.0005, 0, "relax"}, {7, 1.5, "µ ✓"}};
    return r;
}

std::string field(const std::string& file, std::size_t at, std::size_t width) {
    const std::string text = file.substr(at, width);
    return text.substr(0, text.find_last_not_of(' ') + 1);
}

double worst_difference(const Channel& a, const Channel& b) {
    double worst = 0;
    for (std::size_t i = 0; i < std::min(a.samples.size(), b.samples.size()); ++i) {
        if (std::isfinite(a.samples[i]) && std::isfinite(b.samples[i]))
            worst = std::max(worst, std::abs(double{a.samples[i]} - b.samples[i]));
    }
    return worst;
}

std::string edf_refusal(const Recording& recording) {
    try {
        recording_edf(recording);
    } catch (const Error& error) {
        CHECK(error.kind == ErrorKind::bad_setting);
        return error.message;
    }
    return "";
}

}  // namespace

TEST_CASE("the header fields stand where the EDF specification puts them") {
    const std::string file = recording_edf(ten_seconds());
    CHECK(field(file, 0, 8) == "0");
    CHECK(field(file, 8, 80) == "P-014 X X X");
    CHECK(field(file, 88, 80) == "Startdate 02-MAR-2026 X X X");
    CHECK(field(file, 168, 8) == "02.03.26");
    CHECK(field(file, 176, 8) == "07.30.05");
    CHECK(field(file, 184, 8) == "768");
    CHECK(field(file, 192, 44) == "EDF+C");
    CHECK(field(file, 236, 8) == "10");
    CHECK(field(file, 244, 8) == "1");
    CHECK(field(file, 252, 4) == "2");
    CHECK(field(file, 256, 16) == "EMG PFM");
    CHECK(field(file, 272, 16) == "EDF Annotations");
    for (std::size_t i = 0; i < 768; ++i) CHECK((file[i] >= 32 && file[i] <= 126));
    const std::size_t annotation_samples = static_cast<std::size_t>(*parse_whole(field(file, 256 + 2 * 216 + 8, 8)));
    CHECK(file.size() == 768 + 10 * 2 * (1000 + annotation_samples));
}

TEST_CASE("each record starts its annotations with its own time") {
    const std::string file = recording_edf(ten_seconds());
    const std::size_t annotation_bytes = (file.size() - 768) / 10 - 2000;
    for (int record = 0; record < 10; ++record) {
        const std::string list = file.substr(768 + record * (2000 + annotation_bytes) + 2000, annotation_bytes);
        const std::string stamp = "+" + std::to_string(record) + "\x14\x14";
        CHECK(list.substr(0, stamp.size() + 1) == stamp + '\0');
    }
    // Spelling of an annotation with a duration: EDF+ specification, section 2.2.2.
    CHECK(file.find("+7\x15"
                    "1.5\x14µ ✓\x14") != std::string::npos);
}

TEST_CASE("a simulated recording names its equipment so and an unknown start is a removed one") {
    Recording r = ten_seconds();
    r.format = FileFormat::simulated;
    r.start.reset();
    r.person.clear();
    const std::string file = recording_edf(r);
    CHECK(field(file, 8, 80) == "X X X X");
    CHECK(field(file, 88, 80) == "Startdate X X X simulated");
    CHECK(field(file, 168, 16) == "01.01.8500.00.00");
    CHECK_FALSE(read_recording(file, "copy.edf").start.has_value());
}

TEST_CASE("a written EDF+ reads back within half a digital step with its marks") {
    for (const double rate_hz : {1000.0, 1024.0, 2000.0, 20.0, 12.5}) {
        CAPTURE(rate_hz);
        const Recording wanted = ten_seconds(rate_hz);
        const Recording got = read_recording(recording_edf(wanted), "copy.edf");
        REQUIRE(got.channels.size() == 1);
        const Channel& channel = got.channels[0];
        REQUIRE(channel.samples.size() == wanted.channels[0].samples.size());
        CHECK(channel.rate.value == doctest::Approx(rate_hz));
        REQUIRE(channel.step.has_value());
        CHECK(*channel.step < 0.001f);
        CHECK(worst_difference(channel, wanted.channels[0]) <= 0.5001 * *channel.step + 2e-6);
        CHECK(got.person == "P-014");
        CHECK(got.start == wanted.start);
        CHECK(got.marks == wanted.marks);
        if (rate_hz > 100) CHECK(got.notes.empty());  // slower ones are taken for envelopes, with a note
    }
}

TEST_CASE("a start within a second moves the record times and not the marks") {
    Recording wanted = ten_seconds();
    wanted.start = parse_civil_time("2026-03-02T07:30:05.250");
    const std::string file = recording_edf(wanted);
    CHECK(file.find("+0.25\x14\x14") != std::string::npos);
    CHECK(file.find("+2.25\x14"
                    "contract") != std::string::npos);
    const Recording got = read_recording(file, "copy.edf");
    CHECK(got.start == wanted.start);
    REQUIRE(got.marks.size() == 3);
    CHECK(got.marks[0].time_s == doctest::Approx(2));
}

TEST_CASE("known rails are the physical limits and others leave room beyond the data") {
    Recording r = ten_seconds();
    r.channels[0].low_limit = -500.0f;
    r.channels[0].high_limit = 500.0f;
    r.channels[0].samples[17] = 500.0f;
    const Recording railed = read_recording(recording_edf(r), "copy.edf");
    CHECK(railed.channels[0].high_limit == 500.0f);
    CHECK(railed.channels[0].samples[17] == 500.0f);
    const Recording free = read_recording(recording_edf(ten_seconds()), "copy.edf");
    float most = 0;
    for (const float x : free.channels[0].samples) most = std::max(most, x);
    CHECK(most < *free.channels[0].high_limit);
}

TEST_CASE("channels of several rates share their records") {
    Recording wanted = ten_seconds();
    wanted.channels.push_back(ten_seconds(250).channels[0]);
    wanted.channels[1].label = "EMG Abd";
    const Recording got = read_recording(recording_edf(wanted), "copy.edf");
    REQUIRE(got.channels.size() == 2);
    CHECK(got.channels[1].samples.size() == 2500);
    CHECK(got.channels[1].label == "EMG Abd");
    CHECK(worst_difference(got.channels[1], wanted.channels[1]) < 0.001);
}

TEST_CASE("a gap becomes records left out and is a gap again for a reader") {
    Recording wanted = ten_seconds();
    for (std::size_t i = 3000; i < 4500; ++i) wanted.channels[0].samples[i] = kMissing;
    wanted.gaps = {{3, 4.5}};
    const std::string file = recording_edf(wanted);
    CHECK(field(file, 192, 44) == "EDF+D");
    const Recording got = read_recording(file, "copy.edf");
    REQUIRE(got.gaps.size() == 1);
    CHECK(got.gaps[0].begin_s == doctest::Approx(3));
    CHECK(got.gaps[0].end_s == doctest::Approx(4.5));
    REQUIRE(got.channels[0].samples.size() == 10000);
    CHECK(std::isnan(got.channels[0].samples[3000]));
    CHECK(std::isnan(got.channels[0].samples[4499]));
    CHECK(got.channels[0].samples[4500] == doctest::Approx(wanted.channels[0].samples[4500]).epsilon(0.001));
    CHECK(got.marks == wanted.marks);
}

TEST_CASE("missing samples within a record are the digital minimum and named") {
    Recording wanted = ten_seconds();
    for (std::size_t i = 3100; i < 3150; ++i) wanted.channels[0].samples[i] = kMissing;
    const Recording got = read_recording(recording_edf(wanted), "copy.edf");
    REQUIRE(got.channels[0].samples.size() == 10000);
    const float there = got.channels[0].samples[3120];
    CHECK((std::isnan(there) || there == *got.channels[0].low_limit));
    const auto named =
        std::find_if(got.marks.begin(), got.marks.end(), [](const Mark& m) { return m.text == "no data"; });
    REQUIRE(named != got.marks.end());
    CHECK(named->time_s == doctest::Approx(3.1));
    CHECK(named->duration_s == doctest::Approx(0.05));
}

TEST_CASE("a last record that is not full is named so and never filled with zeros") {
    Recording wanted = ten_seconds();
    wanted.channels[0].samples.resize(9997);  // a prime number of samples: no record divides it
    wanted.channels[0].samples.resize(9973);
    const std::string file = recording_edf(wanted);
    CHECK(file.find("no data") != std::string::npos);
    const Recording got = read_recording(file, "copy.edf");
    const Channel& channel = got.channels[0];
    REQUIRE(channel.samples.size() >= 9973);
    for (std::size_t i = 9973; i < channel.samples.size(); ++i)
        CHECK((std::isnan(channel.samples[i]) || channel.samples[i] == *channel.low_limit));
    CHECK(worst_difference(channel, wanted.channels[0]) < 0.001);
}

TEST_CASE("what EDF cannot hold is refused by name") {
    Recording r = ten_seconds();
    r.channels[0].label = "µ and ä";
    CHECK(edf_refusal(r) == "a text that EDF cannot hold: saw 'µ and ä', expected ASCII");
    r.channels[0].label = "a label of more than sixteen";
    CHECK(edf_refusal(r) == "a text too long for EDF: saw 'a label of more than sixteen', expected at most 16 characters");
    r = ten_seconds();
    r.channels[0].rate = Hertz{1000.0 / 3};
    CHECK(edf_refusal(r).find("no record of EDF holds a whole number of samples: saw a rate of 333.3") == 0);
    r = ten_seconds();
    r.channels[0].samples[5] = 1e9f;
    CHECK(edf_refusal(r).find("values too large for EDF") == 0);
    r = ten_seconds();
    r.channels[0].samples.assign(1000, kMissing);
    CHECK(edf_refusal(r) == "no valid sample in the whole recording");
}

TEST_CASE("limits fit their eight characters whatever the data are") {
    for (const float most : {0.0f, 1e-5f, 0.123456789f, 1.0f, 99.99999f, 12345.678f, 987654.3f, 9800000.0f}) {
        Recording r = ten_seconds();
        for (float& x : r.channels[0].samples) x *= most / 27;
        CAPTURE(most);
        const Recording got = read_recording(recording_edf(r), "copy.edf");
        CHECK(worst_difference(got.channels[0], r.channels[0]) <= most * 2e-5 + 2e-5);
    }
}
