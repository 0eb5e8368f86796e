// Cleaning at its edges: runs too short to say anything, masks in the middle of what is looked for, rates too low,
// headers that make no sense.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "clean/beat_times.hpp"
#include "clean/heart_beats.hpp"
#include "clean/line_blocks.hpp"
#include "clean/made_trace.hpp"
#include "clean/motion.hpp"
#include "clean/prefilter.hpp"
#include "clean/spikes.hpp"
#include "clean/stuck.hpp"
#include "support/shaped_noise.hpp"
#include "tracehold/clean/butterworth.hpp"
#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/clean/welch.hpp"
#include "tracehold/clean/zero_phase.hpp"
#include "tracehold/core/error.hpp"

using namespace tracehold;
using namespace tracehold::testing;
using doctest::Approx;

namespace {

constexpr float kMasked = std::numeric_limits<float>::quiet_NaN();

// Beats of 30 µV every 0.8 s from first_s on, over 2 µV of muscle.
std::vector<float> with_heart(double length_s, double first_s, std::uint64_t seed = 12) {
    auto uv = muscle_noise(static_cast<std::size_t>(length_s * 1000.0), 1000.0, seed, 2.0);
    for (double at = first_s; at < length_s; at += 0.8) {
        for (std::size_t i = 0; i < uv.size(); ++i) {
            const double t = static_cast<double>(i) / 1000.0 - at;
            if (std::abs(t) < 0.1) uv[i] += static_cast<float>(30.0 * beat(t));
        }
    }
    return uv;
}

Recording raw_recording(std::vector<float> samples, double rate_hz = 1000.0) {
    Recording recording;
    recording.source = "made.csv";
    recording.channels.resize(1);
    recording.channels[0].rate = Hertz{rate_hz};
    recording.channels[0].kind = ChannelKind::raw;
    recording.channels[0].samples = std::move(samples);
    return recording;
}

}  // namespace

TEST_CASE("a header without a usable number says nothing of a filter") {
    CHECK_FALSE(parse_prefilter("HP:").high_pass);
    CHECK_FALSE(parse_prefilter("HP").high_pass);
    CHECK_FALSE(parse_prefilter("HP:0Hz").high_pass);
    CHECK_FALSE(parse_prefilter("HP:1.2.3Hz").high_pass);
    CHECK(parse_prefilter("HP:0Hz HP:30Hz").high_pass == 30.0);  // the first number that can be one
    CHECK(parse_prefilter("LP:500").low_pass == 500.0);          // nothing behind the number
    CHECK(parse_prefilter("LP:0.5k").low_pass == 500.0);
    CHECK_FALSE(parse_prefilter("XHP:30Hz").high_pass);  // another word that ends so
    CHECK(parse_prefilter("notch=60").notch == 60.0);
}

TEST_CASE("filters of impossible order or corner or rate are refused with what was seen") {
    const auto message = [](int order, double corner, double rate) -> std::string {
        try {
            butterworth_low_pass(order, Hertz{corner}, Hertz{rate});
        } catch (const Error& error) {
            return error.message;
        }
        return "";
    };
    CHECK(message(13, 10, 100) == "order out of range: saw 13, expected 1 to 12");
    CHECK(message(12, 10, 100) == "");
    CHECK(message(1, 10, 100) == "");
    CHECK(message(4, 10, 0) ==
          "corner out of range: saw 10 Hz at a rate of 0 Hz, expected above 0 and below half the rate");
    CHECK(message(4, 50, 100) ==
          "corner out of range: saw 50 Hz at a rate of 100 Hz, expected above 0 and below half the rate");
    CHECK(message(4, -1, 100) ==
          "corner out of range: saw -1 Hz at a rate of 100 Hz, expected above 0 and below half the rate");
    const auto band = [](double high_pass) -> std::string {
        CleanSettings settings;
        settings.high_pass = Hertz{high_pass};
        try {
            clean_recording(raw_recording(std::vector<float>(2000, 1.0F)), 0, settings);
        } catch (const Error& error) {
            return error.message;
        }
        return "";
    };
    CHECK(band(0) ==
          "no band left: saw a high-pass at 0 Hz and a low-pass at 450 Hz for a rate of 1000 Hz, expected the first "
          "below the second");
    CHECK(band(450).starts_with("no band left: saw a high-pass at 450 Hz"));
    CHECK(band(449) == "");
}

TEST_CASE("a filter without memory settles at once and leaves no run to itself") {
    const std::vector<FilterSection> half{{0.5, 0.0, 0.0, 0.0, 0.0}};
    CHECK(settling_samples(half) == 1);
    CHECK(settling_samples({}) == 1);
    std::vector<float> run{1.0F, 2.0F, 3.0F, -4.0F};
    run_zero_phase(half, run);
    CHECK(run == std::vector<float>{0.25F, 0.5F, 0.75F, -1.0F});  // once forward, once backward
    run_zero_phase({}, run);
    CHECK(run == std::vector<float>{0.25F, 0.5F, 0.75F, -1.0F});
    std::vector<float> single{5.0F};
    run_zero_phase(butterworth_high_pass(4, Hertz{20.0}, kRate), single);
    CHECK(single == std::vector<float>{5.0F});
}

TEST_CASE("settling is the time in which the largest pole falls to the remainder") {
    // One pole at 0.5: 0.5^10 = 1/1024 is the first power below 1e-3.
    const std::vector<FilterSection> pole{{1.0, 0.0, 0.0, -0.5, 0.0}};
    CHECK(settling_samples(pole) == 10);
    CHECK(settling_samples(pole, 0.5) == 1);
    CHECK(settling_samples(pole, 0.25) == 2);
}

TEST_CASE("a spectrum needs segments of two samples and at least one of them") {
    const auto uv = white_noise(64, 1);
    CHECK(welch_spectrum(uv, kRate, 1).segments == 0);
    CHECK(welch_spectrum(uv, kRate, 65).segments == 0);
    CHECK(welch_spectrum(uv, kRate, 64).segments == 1);
    CHECK(welch_spectrum(uv, kRate, 32).segments == 3);  // half overlap
    CHECK_FALSE(median_frequency_hz(welch_spectrum(uv, kRate, 65), Hertz{20}, Hertz{450}));
    CHECK(statistical_bandwidth_hz(welch_spectrum(uv, kRate, 65)) == 0.0);
}

TEST_CASE("blocks for mains are about half a second of a length that transforms quickly") {
    const auto length = [](double rate) { return line_blocks({}, Hertz{rate}, kMains_hz, Hertz{450.0})[0].length; };
    CHECK(length(1000.0) == 500);
    CHECK(length(1926.0) == 960);  // 963 and 962 hold larger factors
    CHECK(length(1111.0) == 540);
    CHECK(length(10.0) == 16);
    CHECK(line_blocks({}, kRate, kMains_hz, Hertz{450.0})[0].blocks == 0);
    CHECK(line_blocks({}, kRate, kMains_hz, Hertz{450.0})[0].nominal_hz.size() == 9);
    CHECK(line_blocks({}, kRate, kMains_hz, Hertz{450.0})[1].nominal_hz.size() == 7);
    CHECK(line_blocks({}, kRate, kMains_hz, Hertz{40.0})[0].nominal_hz.empty());
}

TEST_CASE("one block of samples is one block and one sample less is none") {
    const auto uv = white_noise(1000, 3);
    const auto blocks = [&](std::size_t size) {
        return line_blocks(std::span(uv).first(size), kRate, kMains_hz, Hertz{450.0})[0].blocks;
    };
    CHECK(blocks(499) == 0);
    CHECK(blocks(500) == 1);
    CHECK(blocks(749) == 1);
    CHECK(blocks(750) == 2);
}

TEST_CASE("a spike beside a mask is found from what is left and one with nothing around it is not") {
    auto uv = muscle_noise(20000, 1000.0, 5, 2.0);
    uv[5000] += 80.0F;
    std::fill(uv.begin() + 5010, uv.begin() + 5400, kMasked);
    CHECK(find_spikes(uv, kRate).size() == 1);
    std::fill(uv.begin() + 4000, uv.begin() + 6000, kMasked);
    uv[5000] = 80.0F;
    CHECK(find_spikes(uv, kRate).empty());
}

TEST_CASE("a masked sample is no rail and no step and does not end as one") {
    Channel channel;
    channel.rate = kRate;
    auto uv = muscle_noise(20000, 1000.0, 3, 10.0);
    for (float& v : uv) v = std::clamp(v, -15.0F, 15.0F);
    for (std::size_t i = 0; i < uv.size(); i += 100) uv[i] = kMasked;
    const Stuck found = find_stuck(uv, channel);
    CHECK(found.contact_lost.empty());
    CHECK_FALSE(found.clipped.empty());
    for (const SampleRange range : found.clipped) {
        for (std::size_t i = range.begin; i < range.end; ++i) CHECK(std::abs(uv[i]) == 15.0F);
    }
    CHECK(find_stuck(std::vector<float>(5000, kMasked), channel).contact_lost.empty());
}

TEST_CASE("digits have a step where values repeat and none where they are fine or few") {
    std::vector<float> coarse, fine;
    for (int i = 0; i < 1000; ++i) coarse.push_back(0.25F * static_cast<float>(i * 7 % 40));
    for (int i = 0; i < 1000; ++i) fine.push_back(0.25F * static_cast<float>(i));
    coarse[10] = kMasked;
    CHECK(digital_step(coarse) == 0.25);
    CHECK(digital_step(fine) == 0.0);
    CHECK(digital_step(std::vector<float>(100, 3.0F)) == 0.0);
    CHECK(digital_step({}) == 0.0);
}

TEST_CASE("beats at the very ends and through masks are taken away as far as they reach") {
    auto uv = with_heart(40.0, 0.05);
    const auto muscle = muscle_noise(40000, 1000.0, 12, 2.0);
    for (std::size_t i = 20000; i < 40000; i += 97) uv[i] = kMasked;
    std::fill(uv.begin() + 8030, uv.begin() + 8070, kMasked);  // the middle of one beat
    const auto found = find_heart_beats(uv, kRate);
    REQUIRE(found.times_s.size() >= 45);
    CHECK(found.per_minute == Approx(75.0).epsilon(0.01));
    CHECK(found.shape_before == 200);
    CHECK(found.shape_uv.size() == 540);
    // 0.54 s of each interval of 0.8 s, shared by so many beats.
    CHECK(found.cost_share == Approx(0.54 / 0.8 / static_cast<double>(found.times_s.size())).epsilon(0.02));
    remove_heart_beats(uv, kRate, found);
    double power = 0.0, own = 0.0;
    for (std::size_t i = 0; i < uv.size(); ++i) {
        if (std::isnan(uv[i])) continue;
        power += static_cast<double>(uv[i]) * uv[i];
        own += static_cast<double>(muscle[i]) * muscle[i];
    }
    CHECK(power == Approx(own).epsilon(0.05));
}

TEST_CASE("a beat of which every sample is masked changes nothing") {
    auto uv = with_heart(40.0, 0.4);
    const auto found = find_heart_beats(uv, kRate);
    REQUIRE_FALSE(found.times_s.empty());
    std::vector<float> masked(uv.size(), kMasked);
    remove_heart_beats(masked, kRate, found);
    CHECK(std::all_of(masked.begin(), masked.end(), [](float v) { return std::isnan(v); }));
}

TEST_CASE("fewer than ten beats are no heart and slow frames are left unfiltered at a low rate") {
    CHECK(find_heart_beats(with_heart(7.5, 0.4), kRate).times_s.empty());
    const auto coarse = slow_frames(white_noise(100, 1), Hertz{50.0});
    CHECK(coarse.value.size() == 100);
    CHECK(coarse.value == white_noise(100, 1));
}

TEST_CASE("movement cannot be told at low rates") {
    const auto uv = white_noise(1000, 2);
    CHECK(slow_waves(uv, Hertz{40.0}).value.empty());
    CHECK_FALSE(slow_waves(uv, kRate).value.empty());
    CHECK(find_motion(slow_waves(uv, Hertz{119.0}), uv, Hertz{119.0}, {}).empty());
}

TEST_CASE("the slow wave of a heart is no movement and a movement between beats still is") {
    auto uv = muscle_noise(60000, 1000.0, 4, 2.0);
    HeartBeats beats;
    for (double at = 0.1; at < 60.0; at += 0.8) beats.times_s.push_back(at);
    auto trace = uv;
    for (const double at : beats.times_s) {
        for (std::size_t i = 0; i < trace.size(); ++i) {
            const double t = static_cast<double>(i) / 1000.0 - at;
            if (std::abs(t) < 0.3) trace[i] += static_cast<float>(40.0 * std::exp(-t * t / (2 * 0.04 * 0.04)));
        }
    }
    CHECK(find_motion(slow_waves(trace, kRate), uv, kRate, beats).empty());
    for (std::size_t i = 30000; i < 30600; ++i) {
        const double t = static_cast<double>(i - 30000) / 1000.0;
        trace[i] += static_cast<float>(300.0 * std::sin(kTurn * 5.0 * t) * std::sin(kTurn * t / 1.2));
    }
    const auto found = find_motion(slow_waves(trace, kRate), uv, kRate, beats);
    REQUIRE(found.size() == 1);
    CHECK(found[0].begin < 30200);
    CHECK(found[0].end > 30400);
}

TEST_CASE("a short gap does not cut a slow wave in two and a long one does") {
    const auto wave = [](std::size_t gap) {
        std::vector<float> uv(4000);
        for (std::size_t i = 0; i < uv.size(); ++i)
            uv[i] = static_cast<float>(100.0 * std::sin(kTurn * 3.0 * static_cast<double>(i) / 1000.0));
        std::fill(uv.begin() + 2000, uv.begin() + 2000 + static_cast<std::ptrdiff_t>(gap), kMasked);
        std::fill(uv.begin(), uv.begin() + 50, kMasked);  // a gap at an end has nothing to lead to
        return slow_waves(uv, kRate);
    };
    const auto finite = [](const Frames& frames, std::size_t begin, std::size_t end) {
        return std::none_of(frames.value.begin() + static_cast<std::ptrdiff_t>(begin),
                            frames.value.begin() + static_cast<std::ptrdiff_t>(end),
                            [](float v) { return std::isnan(v); });
    };
    CHECK(finite(wave(60), 200, 206));
    CHECK(finite(wave(100), 200, 210));
    CHECK_FALSE(finite(wave(120), 200, 212));
    CHECK(std::isnan(wave(60).value[0]));
}

TEST_CASE("a movement in a cleaned recording is masked and named and the rest keeps its level") {
    auto uv = muscle_noise(40000, 1000.0, 9, 5.0);
    const auto still = clean_recording(raw_recording(uv), 0);
    for (std::size_t i = 20000; i < 20600; ++i) {
        const double t = static_cast<double>(i - 20000) / 1000.0;
        uv[i] += static_cast<float>(500.0 * std::sin(kTurn * 5.0 * t) * std::sin(kTurn * t / 1.2));
    }
    const auto clean = clean_recording(raw_recording(uv), 0);
    const auto named = std::find_if(clean.quality.findings.begin(), clean.quality.findings.end(),
                                    [](const Finding& f) { return f.code == "motion"; });
    REQUIRE(named != clean.quality.findings.end());
    CHECK(named->severity == Severity::note);
    CHECK(std::isnan(clean.uv[20300]));
    CHECK(clean.quality.masked_s > 0.5);
    CHECK(clean.quality.masked_s < 1.5);
    CHECK(rms(clean.uv, 0, 19000) == Approx(rms(still.uv, 0, 19000)).epsilon(0.001));
}

TEST_CASE("an electrode that is off for a while is masked and named and the hum around it removed") {
    auto uv = muscle_noise(60000, 1000.0, 2, 5.0);
    for (std::size_t i = 30000; i < 32000; ++i) {
        uv[i] = static_cast<float>(300.0 * std::sin(kTurn * 50.0 * static_cast<double>(i) / 1000.0));
    }
    const auto clean = clean_recording(raw_recording(uv), 0);
    CHECK(std::any_of(clean.quality.findings.begin(), clean.quality.findings.end(), [](const Finding& f) {
        return f.code == "reference_off" && f.severity == Severity::caution && f.spans.size() == 1;
    }));
    CHECK(std::isnan(clean.uv[31000]));
    CHECK(clean.quality.usable);
    CHECK(rms(clean.uv, 0, 28000) == Approx(rms(clean.uv, 34000, 60000)).epsilon(0.05));
}
