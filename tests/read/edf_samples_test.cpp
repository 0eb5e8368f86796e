#include "read/edf_samples.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "read/read_support.hpp"
#include "support/edf_builder.hpp"
#include "support/edf_slow_samples.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/read/read_recording.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

BuiltEdf with_values(std::vector<std::int32_t> digital, bool bdf = false) {
    BuiltEdf file = small_edf();
    file.bdf = bdf;
    if (bdf) {
        file.signals[0].digital_min = "-8388608";
        file.signals[0].digital_max = "8388607";
    }
    file.signals[0].digital = std::move(digital);
    return file;
}

EdfSignal limits(double physical_min, double physical_max, double digital_min, double digital_max) {
    EdfSignal signal;
    signal.physical_min = physical_min;
    signal.physical_max = physical_max;
    signal.digital_min = digital_min;
    signal.digital_max = digital_max;
    return signal;
}

}  // namespace

TEST_CASE("digital zero of +-500 over -2048 to 2047 is 0.1221001221") {
    // EDF specification 1992: physical = (digital - dmin) * (pmax - pmin) / (dmax - dmin) + pmin; 2048 * 1000 / 4095 -
    // 500.
    EdfNotes notes;
    const auto scale = edf_scale(limits(-500, 500, -2048, 2047), 1.0, notes);
    REQUIRE(scale);
    CHECK(std::abs(scale->physical(0) - 0.1221001221) < 1e-9);
    CHECK(scale->physical(-2048) == -500.0);
    CHECK(std::abs(scale->physical(2047) - 500.0) < 1e-12);
    CHECK(notes.take().empty());
}

TEST_CASE("samples equal those of the slow twin in EDF and BDF and with several rates") {
    for (const bool bdf : {false, true}) {
        BuiltEdf file = with_values({-2048, 2047, 0, 1, -1, 255, 256, -256, -257}, bdf);
        file.records = 3;
        BuiltSignal slow = file.signals[0];
        slow.samples = 7;
        slow.physical_min = "-1.5";
        slow.physical_max = "3.25";
        slow.digital = {5, -5, 2047, -2048};
        file.signals.push_back(slow);
        file.signals.push_back(file.signals[0]);
        const std::string bytes = file.bytes();
        const Recording recording = read_edf(bytes, "built.edf");
        REQUIRE(recording.channels.size() == 3);
        for (std::size_t c = 0; c < 3; ++c) {
            const std::vector<double> twin = slow_edf_samples(bytes, c);
            REQUIRE(recording.channels[c].samples.size() == twin.size());
            for (std::size_t i = 0; i < twin.size(); ++i) {
                CHECK(std::abs(recording.channels[c].samples[i] - twin[i]) <= 1e-6 * (c == 1 ? 4.75 : 1000.0));
            }
        }
    }
}

TEST_CASE("the extreme codes of 16 and 24 bits keep their sign") {
    BuiltEdf file = with_values({-32768, 32767, -1});
    file.signals[0].digital_min = "-32768";
    file.signals[0].digital_max = "32767";
    const Recording edf = read_edf(file.bytes(), "a");
    CHECK(edf.channels[0].samples[0] == -500.0F);
    CHECK(edf.channels[0].samples[1] == 500.0F);
    CHECK(std::abs(edf.channels[0].samples[2] - (32767.0 * 1000.0 / 65535.0 - 500.0)) < 1e-6);
    const Recording bdf = read_edf(with_values({-8388608, 8388607, -1}, true).bytes(), "a");
    CHECK(bdf.channels[0].samples[0] == -500.0F);
    CHECK(bdf.channels[0].samples[1] == 500.0F);
    CHECK(std::abs(bdf.channels[0].samples[2] - (8388607.0 * 1000.0 / 16777215.0 - 500.0)) < 1e-6);
}

TEST_CASE("doubling the physical limits doubles every sample") {
    BuiltEdf file = small_edf();
    const Recording once = read_edf(file.bytes(), "a");
    file.signals[0].physical_min = "-1000";
    file.signals[0].physical_max = "1000";
    const Recording twice = read_edf(file.bytes(), "a");
    for (std::size_t i = 0; i < once.channels[0].samples.size(); ++i) {
        CHECK(twice.channels[0].samples[i] == doctest::Approx(2.0 * once.channels[0].samples[i]));
    }
}

TEST_CASE("reversed physical limits turn the polarity and are told") {
    BuiltEdf file = small_edf();
    const Recording up = read_edf(file.bytes(), "a");
    std::swap(file.signals[0].physical_min, file.signals[0].physical_max);
    const Recording down = read_edf(file.bytes(), "a");
    CHECK(has_note(down, "polarity_reversed"));
    CHECK_FALSE(has_note(up, "polarity_reversed"));
    for (std::size_t i = 0; i < up.channels[0].samples.size(); ++i) {
        CHECK(down.channels[0].samples[i] == doctest::Approx(-up.channels[0].samples[i]));
    }
    CHECK(*down.channels[0].low_limit == -500.0F);
    CHECK(*down.channels[0].high_limit == 500.0F);
}

TEST_CASE("reversed digital limits give no scale") {
    BuiltEdf file = small_edf();
    file.signals.push_back(file.signals[0]);
    std::swap(file.signals[0].digital_min, file.signals[0].digital_max);
    const Recording recording = read_edf(file.bytes(), "a");
    CHECK(has_note(recording, "scale_unusable"));
    CHECK(std::isnan(recording.channels[0].samples[3]));
    CHECK_FALSE(std::isnan(recording.channels[1].samples[3]));
    file.signals.pop_back();
    CHECK_THROWS_AS(read_edf(file.bytes(), "a"), Error);
}

TEST_CASE("rails and step come from the digital limits in microvolts") {
    BuiltEdf file = with_values({-2048, 2047});
    file.signals[0].unit = "mV";
    file.signals[0].physical_min = "-5.0";
    file.signals[0].physical_max = "5.0";
    const Channel channel = read_edf(file.bytes(), "a").channels[0];
    CHECK(*channel.low_limit == -5000.0F);
    CHECK(*channel.high_limit == 5000.0F);
    CHECK(*channel.step == doctest::Approx(10000.0 / 4095.0));
    CHECK(channel.samples[0] == *channel.low_limit);
    CHECK(channel.samples[1] == *channel.high_limit);
}

TEST_CASE("samples outside the digital limits are kept and that limit is no rail") {
    const Recording recording = read_edf(with_values({-2050, 2047, 0}).bytes(), "a");
    REQUIRE(recording.channels[0].doubts.size() == 1);
    CHECK(recording.channels[0].doubts[0].code == "outside_digital_limits");
    CHECK(recording.channels[0].samples[0] == doctest::Approx(-500.0 - 2.0 * 1000.0 / 4095.0));
    CHECK_FALSE(recording.channels[0].low_limit.has_value());
    CHECK(*recording.channels[0].high_limit == 500.0F);
}

TEST_CASE("where many samples lie outside the digital limits the scale itself is doubted") {
    const auto doubt_of = [](std::size_t outside) {
        std::vector<std::int32_t> values(100, 7);
        std::fill_n(values.begin(), outside, -2050);
        return read_edf(with_values(values).bytes(), "a").channels[0].doubts.at(0).text;
    };
    const char* const doubt = "so many say that the limits are wrong, and then all amplitudes are off by one factor";
    CHECK(doubt_of(40).find(doubt) != std::string::npos);
    CHECK(doubt_of(5).find(doubt) == std::string::npos);
}

TEST_CASE("a signal with equal or unreadable limits is empty of valid samples and the others stay good") {
    const std::vector<std::pair<std::string, std::string>> broken_physical = {
        {"5", "5"}, {"0", "0"}, {"abc", "5"}, {"", ""}};
    for (const auto& [low, high] : broken_physical) {
        BuiltEdf file = small_edf();
        BuiltSignal broken = file.signals[0];
        broken.label = "blank";
        broken.physical_min = low;
        broken.physical_max = high;
        file.signals.push_back(broken);
        broken.physical_min = "-5.0";
        broken.physical_max = "5.0";
        broken.digital_min = "0.0";
        broken.digital_max = "0.0";
        file.signals.push_back(broken);
        const Recording recording = read_edf(file.bytes(), "a");
        CHECK(has_note(recording, "scale_unusable"));
        REQUIRE(recording.channels.size() == 3);
        CHECK(recording.channels[0].step.has_value());
        for (const std::size_t c : {std::size_t{1}, std::size_t{2}}) {
            CHECK(recording.channels[c].samples.size() == 400);
            for (const float x : recording.channels[c].samples) CHECK(std::isnan(x));
        }
    }
}

TEST_CASE("a file without one usable scale is refused by name") {
    BuiltEdf file = small_edf();
    file.signals[0].physical_max = file.signals[0].physical_min;
    try {
        read_edf(file.bytes(), "a.edf");
        FAIL("no error");
    } catch (const Error& error) {
        CHECK(error.kind == ErrorKind::malformed);
        CHECK(std::string{error.what()} ==
              "a.edf:byte 360, signal 1 physical minimum: no signal can be scaled: saw physical limits "
              "'-500' and '-500' and digital limits '-2048' and '2047', expected two different numbers each that float32 "
              "can hold\nhint: export the recording again");
    }
}

TEST_CASE("limits beyond float numbers are no scale") {
    EdfNotes notes;
    CHECK_FALSE(edf_scale(limits(-1e-99, 1e-99, -100, 100), 1.0, notes));
    CHECK_FALSE(edf_scale(limits(-9e99, 9e99, -100, 100), 1.0, notes));
    CHECK_FALSE(edf_scale(limits(0, 3e38, -100, 100), 1e6, notes));
    CHECK(edf_scale(limits(-1e-16, 1e-16, -32768, 32767), 1.0, notes));
}
