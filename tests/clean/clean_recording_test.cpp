#include "tracehold/clean/clean_recording.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "clean/made_trace.hpp"
#include "support/shaped_noise.hpp"
#include "tracehold/core/error.hpp"

using namespace tracehold;
using namespace tracehold::testing;
using doctest::Approx;

namespace {

Recording recording_of(std::vector<float> samples, double rate_hz = 1000.0, ChannelKind kind = ChannelKind::raw) {
    Recording r;
    r.source = "made.csv";
    r.channels.resize(1);
    r.channels[0].label = "EMG PFM";
    r.channels[0].rate = Hertz{rate_hz};
    r.channels[0].kind = kind;
    r.channels[0].unit = "uV";
    r.channels[0].samples = std::move(samples);
    return r;
}

std::vector<float> muscle(double rate_hz = 1000.0, double length_s = 20.0, std::uint64_t seed = 1) {
    return muscle_noise(static_cast<std::size_t>(length_s * rate_hz), rate_hz, seed, 5.0);
}

void check_always_true(const CleanRecording& clean, std::size_t size) {
    REQUIRE(clean.uv.size() == size);
    std::vector<bool> masked(size, false);
    for (const TimeSpan span : clean.masked) {
        const SampleRange range = samples_in(span, clean.rate, size);
        for (std::size_t i = range.begin; i < range.end; ++i) masked[i] = true;
    }
    for (std::size_t i = 0; i < size; ++i) CHECK(std::isnan(clean.uv[i]) == masked[i]);
    for (const Finding& f : clean.quality.findings) CHECK(!f.text.empty());
}

std::string message_of(const Recording& recording, const CleanSettings& settings = {}, std::size_t channel = 0) {
    try {
        clean_recording(recording, channel, settings);
    } catch (const Error& e) {
        return e.what();
    }
    return "";
}

}  // namespace

TEST_CASE("clean muscle comes out with nothing found and its band filtered") {
    const auto clean = clean_recording(recording_of(muscle()), 0);
    check_always_true(clean, 20000);
    CHECK(clean.quality.findings.empty());
    CHECK(clean.quality.usable);
    CHECK(clean.quality.masked_s == 0.0);
    CHECK(clean.low_hz == 20.0);
    CHECK(clean.high_hz == 450.0);
    CHECK(clean.bandwidth_hz ==
          Approx(193.2).epsilon(0.05));  // of the muscle form times the filter squared, by summing the closed forms
    REQUIRE(clean.quality.mains);
    CHECK(!clean.quality.mains->removed);
}

TEST_CASE("the low-pass is lowered to 0.45 of a small rate and the finding says what that means") {
    const auto clean = clean_recording(recording_of(muscle(500.0), 500.0), 0);
    CHECK(clean.high_hz == Approx(225.0));
    REQUIRE(find_finding(clean, "undersampled"));
    CHECK(find_finding(clean, "undersampled")->severity == Severity::note);
    CHECK(find_finding(clean, "undersampled")->text ==
          "recorded at 500 Hz: the band ends below 450 Hz, so amplitudes read lower than at higher rates and compare only with "
          "those of this rate");
}

TEST_CASE("twice the signal is twice the cleaned trace") {
    auto uv = muscle();
    const auto once = clean_recording(recording_of(uv), 0);
    for (float& v : uv) v *= 2.0F;
    const auto twice = clean_recording(recording_of(uv), 0);
    for (std::size_t i = 0; i < uv.size(); ++i) CHECK(twice.uv[i] == 2.0F * once.uv[i]);
}

TEST_CASE("an offset of the electrode changes nothing") {
    auto uv = muscle();
    const auto without = clean_recording(recording_of(uv), 0);
    for (float& v : uv) v += 1000.0F;
    const auto with = clean_recording(recording_of(uv), 0);
    for (std::size_t i = 0; i < uv.size(); ++i)
        CHECK(std::abs(with.uv[i] - without.uv[i]) < 2e-3);  // digits of 1000 in a float: 6e-5
}

TEST_CASE("a gap parts the trace into runs that know nothing of each other") {
    const auto first = muscle(1000.0, 8.0, 2), second = muscle(1000.0, 11.0, 3);
    auto joined = first;
    joined.insert(joined.end(), 500, std::nanf(""));
    joined.insert(joined.end(), second.begin(), second.end());
    const CleanSettings off{.mains = MainsRemoval::off};
    const auto a = clean_recording(recording_of(first), 0, off), b = clean_recording(recording_of(second), 0, off);
    const auto both = clean_recording(recording_of(joined), 0, off);
    for (std::size_t i = 0; i < first.size(); ++i) CHECK(both.uv[i] == a.uv[i]);
    for (std::size_t i = 0; i < second.size(); ++i) CHECK(both.uv[8500 + i] == b.uv[i]);
    CHECK(both.masked == std::vector<TimeSpan>{{8.0, 8.5}});
    CHECK(both.quality.masked_s == Approx(0.5));
}

TEST_CASE("what is missing or not finite or named by a clinician is masked and no more") {
    auto uv = muscle();
    uv[3000] = std::numeric_limits<float>::infinity();
    uv[7000] = std::nanf("");
    CleanSettings settings;
    settings.mask = {{10.0, 11.5}};
    const auto clean = clean_recording(recording_of(uv), 0, settings);
    check_always_true(clean, uv.size());
    CHECK(clean.masked == std::vector<TimeSpan>{{3.0, 3.001}, {7.0, 7.001}, {10.0, 11.5}});
}

TEST_CASE("runs too short for the filter are masked") {
    auto uv = muscle();
    for (std::size_t i = 5000; i < 6000; i += 50) uv[i] = std::nanf("");
    const auto clean = clean_recording(recording_of(uv), 0);
    for (std::size_t i = 5000; i < 5950; ++i) CHECK(std::isnan(clean.uv[i]));
    CHECK(!std::isnan(clean.uv[4999]));
    CHECK(!std::isnan(clean.uv[6100]));
}

TEST_CASE("flat and rail stretches are masked, tops at a limit kept, and all named with their times") {
    auto uv = muscle();
    for (float& v : uv) v = std::clamp(v, -14.0F, 14.0F);
    std::fill(uv.begin() + 12000, uv.begin() + 13000, 0.5F);
    std::fill(uv.begin() + 15000, uv.begin() + 15500, 14.0F);
    const auto clean = clean_recording(recording_of(uv), 0);
    check_always_true(clean, uv.size());
    REQUIRE(find_finding(clean, "clipping"));
    REQUIRE(find_finding(clean, "contact_lost"));
    CHECK(find_finding(clean, "contact_lost")->spans == std::vector<TimeSpan>{{11.95, 13.05}, {14.95, 15.55}});
    const auto lost = [](double t) { return (t >= 11.95 && t < 13.05) || (t >= 14.95 && t < 15.55); };
    std::size_t tops = 0;
    for (std::size_t i = 0; i < uv.size(); ++i) {
        const double t = static_cast<double>(i) / 1000.0;
        CHECK(std::isnan(clean.uv[i]) == lost(t));
        if (std::abs(uv[i]) != 14.0F || lost(t)) continue;
        ++tops;
        CHECK(std::any_of(clean.clipped.begin(), clean.clipped.end(), [&](TimeSpan top) { return t + 1e-6 >= top.begin_s && t + 1e-6 < top.end_s; }));
    }
    CHECK(tops > 4);
    CHECK(clean.quality.usable);
}

TEST_CASE("what cannot be scored is rejected and says why") {
    const auto constant = clean_recording(recording_of(std::vector<float>(5000, 3.0F)), 0);
    CHECK(!constant.quality.usable);
    REQUIRE(find_finding(constant, "contact_lost"));
    CHECK(find_finding(constant, "contact_lost")->severity == Severity::reject);
    CHECK(find_finding(constant, "contact_lost")->text ==
          "the trace stands still throughout: no contact, or nothing was recorded");
    const auto missing = clean_recording(recording_of(std::vector<float>(5000, std::nanf(""))), 0);
    CHECK(!missing.quality.usable);
    CHECK(find_finding(missing, "masked_much")->text == "only 0.0 s of 5.0 s can be believed: too little to score");
    auto mostly = muscle();
    std::fill(mostly.begin() + 3000, mostly.end(), std::nanf(""));
    CHECK(!clean_recording(recording_of(mostly), 0).quality.usable);
    auto open = muscle();
    for (std::size_t i = 0; i < open.size(); ++i)
        open[i] += static_cast<float>(200.0 * std::sin(0.314159265 * static_cast<double>(i)));
    const auto hum = clean_recording(recording_of(open), 0);
    CHECK(!hum.quality.usable);
    REQUIRE(find_finding(hum, "reference_off"));
    CHECK(find_finding(hum, "reference_off")->severity == Severity::reject);
}

TEST_CASE("an exported amplitude is masked and otherwise untouched") {
    std::vector<float> amplitude(300);
    for (std::size_t i = 0; i < amplitude.size(); ++i) amplitude[i] = 3.0F + static_cast<float>(i % 50);
    amplitude[40] = std::nanf("");
    const auto clean = clean_recording(recording_of(amplitude, 10.0, ChannelKind::envelope), 0);
    check_always_true(clean, amplitude.size());
    for (std::size_t i = 0; i < amplitude.size(); ++i) {
        if (i != 40) CHECK(clean.uv[i] == amplitude[i]);
    }
    CHECK(clean.low_hz == 0.0);
    CHECK(clean.bandwidth_hz == 0.0);
    CHECK(!clean.quality.mains);
    REQUIRE(find_finding(clean, "already_envelope"));
    CHECK(find_finding(clean, "already_envelope")->severity == Severity::note);
    CHECK(!clean_recording(recording_of(std::vector<float>(300, 2.0F), 10.0, ChannelKind::envelope), 0).quality.usable);
}

// Rest at 1.6 µV and work at 20 µV with a swell of a tenth, as a recorder writes them.
TEST_CASE("a rest of an exported amplitude that its digits or a subtraction swallow is none") {
    const auto codes = [](double step_uv, double taken_uv) {
        std::vector<float> amplitude(2000);
        for (std::size_t i = 0; i < amplitude.size(); ++i) {
            const double level = (i % 180 < 80 ? 20.0 : 1.6) * (1.0 + 0.1 * std::sin(0.7 * static_cast<double>(i)));
            const double left = std::max(0.0, level - taken_uv);
            amplitude[i] = static_cast<float>(step_uv > 0.0 ? step_uv * std::round(left / step_uv) : left);
        }
        std::string text;
        for (const Finding& finding : clean_recording(recording_of(amplitude, 10.0, ChannelKind::envelope), 0).quality.findings)
            text += finding.severity == Severity::note ? "" : finding.code + " ";
        return text;
    };
    CHECK(codes(0.0, 0.0).empty());
    CHECK(codes(0.1, 0.0).empty());
    CHECK(codes(1.0, 0.0) == "quantised ");
    CHECK(codes(5.0, 0.0) == "rest_unreadable ");
    CHECK(codes(0.0, 4.0) == "rest_unreadable ");
    CHECK(codes(0.1, 1.0).empty());
}

TEST_CASE("the header and the unit and the digits cast doubt where they should") {
    auto recording = recording_of(muscle());
    recording.channels[0].prefilter = "HP:20Hz LP:500Hz";
    CHECK(!find_finding(clean_recording(recording, 0), "header_prefilter"));
    recording.channels[0].prefilter = "HP:30Hz LP:200Hz N:50Hz";
    recording.channels[0].step = 8.0F;
    recording.channels[0].doubts = {{"unit_assumed", "", "no unit", true}};
    recording.notes = {{"rate_differs", "", "two rates", true}, {"decimal_comma", "", "decimal commas"}};
    const auto clean = clean_recording(recording, 0);
    REQUIRE(find_finding(clean, "header_prefilter"));
    CHECK(find_finding(clean, "header_prefilter")->text ==
          "by its header the recorder filtered already (high-pass at 30 Hz, low-pass at 200 Hz, notch at 50 Hz): "
          "amplitudes compare only "
          "with recordings that were filtered alike");
    REQUIRE(find_finding(clean, "unit_assumed"));
    CHECK(find_finding(clean, "unit_assumed")->severity == Severity::caution);
    REQUIRE(find_finding(clean, "rate_differs"));
    CHECK(*find_finding(clean, "rate_differs") == Finding{"rate_differs", Severity::caution, "two rates", {}});
    CHECK(!find_finding(clean, "decimal_comma"));
    REQUIRE(find_finding(clean, "quantised"));
    CHECK(find_finding(clean, "quantised")->severity == Severity::caution);  // 8^2 / 12 = 5.3 uV^2 beside 4.6^2
    recording.channels[0].step = 0.1F;
    CHECK(!find_finding(clean_recording(recording, 0), "quantised"));
}

TEST_CASE("a wandering baseline is named and taken away") {
    auto uv = muscle();
    const auto without = clean_recording(recording_of(uv), 0);
    for (std::size_t i = 0; i < uv.size(); ++i)
        uv[i] += 300.0F * std::sin(6.2831853F * 0.1F * static_cast<float>(i) / 1000.0F);
    const auto clean = clean_recording(recording_of(uv), 0);
    REQUIRE(find_finding(clean, "drift"));
    CHECK(find_finding(clean, "drift")->severity == Severity::note);
    CHECK(rms(clean.uv) == Approx(rms(without.uv)).epsilon(0.001));
}

TEST_CASE("what cannot be cleaned is refused with place and hint") {
    CHECK(message_of(recording_of(std::vector<float>(900, 1.0F))) ==
          "made.csv:channel 1: too short to clean: saw 0.90 s, expected at least 1 s");
    CHECK(message_of(recording_of(muscle()), {}, 3) ==
          "made.csv:channel: no such channel: saw number 4, expected 1 to 1");
    CHECK(message_of(recording_of(muscle(), 1000.0, ChannelKind::other)) ==
          "made.csv:channel 1: the channel holds no muscle signal\nhint: choose another with --channel, or say what it "
          "is with --unit or "
          "--kind");
    CHECK(message_of(recording_of(muscle(), 30.0))
              .find("no band left: saw a high-pass at 20 Hz and a low-pass at 13.5 Hz") != std::string::npos);
    CleanSettings upside_down;
    upside_down.high_pass = Hertz{500.0};
    CHECK(message_of(recording_of(muscle()), upside_down).find("no band left") != std::string::npos);
}
