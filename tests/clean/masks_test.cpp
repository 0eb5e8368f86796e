// What is found in a trace before and beside the filter: stops, rails, spikes, digits, movement, open electrodes, heart
// beats, headers.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "clean/copies.hpp"
#include "clean/heart_beats.hpp"
#include "clean/made_trace.hpp"
#include "clean/motion.hpp"
#include "clean/open_hum.hpp"
#include "clean/prefilter.hpp"
#include "clean/rectified.hpp"
#include "clean/spikes.hpp"
#include "clean/stuck.hpp"
#include "support/shaped_noise.hpp"

using namespace tracehold;
using namespace tracehold::testing;
using doctest::Approx;

namespace {

Channel channel_of(std::vector<float> samples) {
    Channel channel;
    channel.rate = kRate;
    channel.samples = std::move(samples);
    return channel;
}

Stuck stuck_in(const Channel& channel) { return find_stuck(channel.samples, channel); }

bool covers(const Ranges& ranges, std::size_t sample) {
    for (const SampleRange r : ranges) {
        if (sample >= r.begin && sample < r.end) return true;
    }
    return false;
}

}  // namespace

TEST_CASE("ranges that touch are joined and stay inside the trace") {
    CHECK(widened({{5, 7}, {0, 2}}, 1, 20) == Ranges{{0, 3}, {4, 8}});
    CHECK(widened({{5, 7}, {0, 2}}, 2, 8) == Ranges{{0, 8}});
    CHECK(widened({}, 5, 8).empty());
    CHECK(seconds_in({{0, 500}, {600, 850}}, kRate) == Approx(0.75));
}

TEST_CASE("Gaussian traces have no rails and never stand still") {
    for (std::uint64_t seed = 1; seed <= 50; ++seed) {
        const auto found = stuck_in(channel_of(muscle_noise(20000, 1000.0, seed, 10.0)));
        CHECK(found.clipped.empty());
        CHECK(found.contact_lost.empty());
    }
}

TEST_CASE("coarse digits alone make neither rails nor stops") {
    auto uv = muscle_noise(100000, 1000.0, 3, 1.0);
    for (float& v : uv)
        v = 4.0F * std::round(v / 4.0F);  // nearly all samples are 0: stops of many samples come by chance
    CHECK(stuck_in(channel_of(uv)).contact_lost.empty());
    CHECK(digital_step(uv) == Approx(4.0));
    CHECK(digital_step(muscle_noise(10000, 1000.0, 3, 1.0)) == 0.0);
    CHECK(digital_step(std::vector<float>(100, 3.0F)) == 0.0);
}

TEST_CASE("digits are read from the values though single odd ones stand between them") {
    auto uv = muscle_noise(60000, 1000.0, 3, 5.0);
    for (float& v : uv) v = 3.0F * std::round(v / 3.0F) + 0.001F;
    for (std::size_t i = 0; i < 400; ++i) uv[1000 + i] = 0.0F;
    CHECK(digital_step(uv) == Approx(3.0));
}

TEST_CASE("many short losses of contact are all seen") {
    // A second work, a second rest; contact is lost for a tenth or a fifth of the time, to 0 or to the last value.
    for (const double rate : {250.0, 1000.0}) {
        const auto noise = muscle_noise(static_cast<std::size_t>(60 * rate), rate, 12, 2.0);
        for (const double loss_s : {0.1, 0.2}) {
            for (const bool to_zero : {true, false}) {
                auto uv = noise;
                const auto second = static_cast<std::size_t>(rate);
                for (std::size_t i = 0; i < uv.size(); ++i) uv[i] = 0.01F * std::round((i / second % 2 == 0 ? 1.0F : 8.0F) * uv[i] / 0.01F);
                const auto length = static_cast<std::size_t>(loss_s * rate);
                std::vector<std::size_t> lost;
                for (std::size_t k = 0; k < 58; ++k) lost.push_back(second + k * second + (k * 379) % (second / 2));
                for (const std::size_t at : lost)
                    for (std::size_t i = 1; i < length; ++i) uv[at + i] = to_zero ? 0.0F : uv[at];
                Channel channel = channel_of(uv);
                channel.rate = Hertz{rate};
                const Ranges found = find_stuck(uv, channel).contact_lost;
                CAPTURE(rate);
                CAPTURE(loss_s);
                CAPTURE(to_zero);
                CHECK(found.size() == lost.size());
                for (const std::size_t at : lost) CHECK(covers(found, at + length / 2));
            }
        }
    }
}

TEST_CASE("a rest within a digit or two stands still by chance however loud the work") {
    for (const double rate : {100.0, 1000.0}) {
        const auto noise = muscle_noise(static_cast<std::size_t>(100 * rate), rate, 8, 1.0);
        for (const double step : {0.5, 1.0, 2.0, 4.0}) {
            for (const double rest_share : {0.2, 0.5, 0.8}) {
                auto uv = noise;
                const auto period = static_cast<std::size_t>(10 * rate);
                for (std::size_t i = 0; i < uv.size(); ++i) {
                    const bool rests = static_cast<double>(i % period) < rest_share * static_cast<double>(period);
                    uv[i] = static_cast<float>(step * std::round((rests ? 1.0 : 30.0) * uv[i] / step));
                }
                Channel channel = channel_of(uv);
                channel.rate = Hertz{rate};
                CAPTURE(step);
                CAPTURE(rest_share);
                CAPTURE(rate);
                CHECK(find_stuck(uv, channel).contact_lost.empty());
            }
        }
    }
}

TEST_CASE("one long loss beside coarse digits does not make their own stops losses") {
    auto uv = muscle_noise(200000, 1000.0, 8, 1.0);
    for (std::size_t i = 0; i < uv.size(); ++i) uv[i] = 4.0F * std::round((i % 10000 < 5000 ? 1.0F : 30.0F) * uv[i] / 4.0F);
    for (std::size_t i = 60000; i < 100000; ++i) uv[i] = 12.0F;
    const Ranges found = stuck_in(channel_of(uv)).contact_lost;
    REQUIRE(found.size() == 1);
    CHECK(covers(found, 60000));
    CHECK(covers(found, 99999));
    CHECK(found[0].size() < 40100);
}

TEST_CASE("samples at a rail are clipped and long stops are lost contact") {
    auto uv = muscle_noise(20000, 1000.0, 4, 100.0);
    for (float& v : uv) v = std::clamp(v, -250.0F, 250.0F);
    for (std::size_t i = 5000; i < 5500; ++i) uv[i] = 250.0F;
    for (std::size_t i = 9000; i < 9300; ++i) uv[i] = -3.25F;
    const auto found = stuck_in(channel_of(uv));
    REQUIRE(!found.clipped.empty());
    for (std::size_t i = 0; i < uv.size(); ++i) {
        const bool at_rail = std::abs(uv[i]) == 250.0F;
        if (at_rail)
            CHECK((covers(found.clipped, i) || covers(found.contact_lost, i)));
        else
            CHECK(!covers(found.clipped, i));
    }
    CHECK(covers(found.contact_lost, 5000));
    CHECK(covers(found.contact_lost, 9299));
    CHECK(!covers(found.contact_lost, 8999));
    CHECK(!covers(found.contact_lost, 9301));
}

TEST_CASE("a limit that holds for a while is found though the recording goes beyond it elsewhere") {
    for (const double limit : {15.0, 25.0, 30.0}) {
        for (std::uint64_t seed = 1; seed <= 5; ++seed) {
            CAPTURE(limit);
            CAPTURE(seed);
            auto uv = muscle_noise(30000, 1000.0, seed, 15.0);
            const auto lasts = [](std::size_t i) { return i >= 10220 && i < 16130; };
            for (std::size_t i = 0; i < uv.size(); ++i)
                uv[i] = lasts(i) ? std::clamp(uv[i], static_cast<float>(-limit), static_cast<float>(limit)) : uv[i];
            const Stuck found = stuck_in(channel_of(uv));
            std::size_t at_limit = 0, seen = 0;
            for (std::size_t i = 0; i < uv.size(); ++i) {
                if (std::abs(uv[i]) != static_cast<float>(limit)) {
                    CHECK(!covers(found.clipped, i));
                    continue;
                }
                ++at_limit;
                seen += covers(found.clipped, i) ? 1 : 0;
            }
            CHECK(static_cast<double>(seen) >= 0.9 * static_cast<double>(at_limit));
        }
    }
}

TEST_CASE("a rail far beyond the trace, or for longer than half a slow wave, tears it and does not cut off its tops") {
    auto uv = muscle_noise(20000, 1000.0, 3, 10.0);
    for (float& v : uv) v = std::clamp(v, -20.0F, 20.0F);
    CHECK(stuck_in(channel_of(uv)).torn.empty());
    for (std::size_t i = 5000; i < 5026; ++i) uv[i] = 20.0F;
    CHECK(stuck_in(channel_of(uv)).torn == Ranges{{5000, 5026}});
    for (float& v : uv) v = std::clamp(v, -2.0F, 2.0F);  // square waves, whose size nothing tells
    CHECK_FALSE(stuck_in(channel_of(uv)).torn.empty());
    auto far = muscle_noise(20000, 1000.0, 3, 10.0);
    for (const std::size_t begin : {3000UL, 7000UL, 11000UL}) std::fill_n(far.begin() + static_cast<std::ptrdiff_t>(begin), 6, 400.0F);
    const Stuck found = stuck_in(channel_of(far));
    CHECK(found.torn == Ranges{{3000, 3006}, {7000, 7006}, {11000, 11006}});
    CHECK(found.torn == found.clipped);
}

TEST_CASE("digits however coarse, slow waves and pulses of one height are no limit of a while") {
    for (const double step : {0.01, 0.3, 1.0, 3.0, 10.0}) {
        CAPTURE(step);
        auto uv = muscle_noise(60000, 1000.0, 9, 10.0);
        for (std::size_t i = 0; i < uv.size(); ++i) {
            const double t = static_cast<double>(i) / 1000.0, rest = std::fmod(t, 10.0) < 5.0 ? 0.1 : 1.0;
            const double wave = 40.0 * std::sin(kTurn * t / 3.0), pulse = i % 20000 > 10000 && i % 400 < 30 ? 90.0 : 0.0;
            uv[i] = static_cast<float>(step * std::round((rest * uv[i] + wave + pulse) / step));
        }
        uv[50] = 500.0F;
        uv[70] = -500.0F;
        CHECK(stuck_in(channel_of(uv)).clipped.empty());
    }
}

TEST_CASE("a stated limit counts only where it is reached again and again") {
    auto channel = channel_of(muscle_noise(20000, 1000.0, 6, 10.0));
    channel.high_limit =
        *std::max_element(channel.samples.begin(), channel.samples.end());  // a file scaled to its own extremes
    CHECK(stuck_in(channel).clipped.empty());
    channel.high_limit = 15.0F;
    CHECK(!stuck_in(channel).clipped.empty());
}

TEST_CASE("a spike is masked with 2 ms either side and muscle is not") {
    for (const double rate : {1000.0, 2000.0, 4000.0}) {
        auto uv = muscle_noise(static_cast<std::size_t>(20 * rate), rate, 5, 2.0);
        CHECK(find_spikes(uv, Hertz{rate}).empty());
        const auto at = static_cast<std::size_t>(5 * rate);
        uv[at] += 80.0F;
        const auto found = find_spikes(uv, Hertz{rate});
        REQUIRE(found.size() == 1);
        CHECK(covers(found, at));
        CHECK(seconds_in(found, Hertz{rate}) < 0.009);
    }
}

TEST_CASE("two spikes side by side are masked as one is") {
    for (const double rate : {250.0, 1000.0, 4000.0}) {
        const auto quiet = muscle_noise(static_cast<std::size_t>(20 * rate), rate, 5, 2.0);
        const auto at = static_cast<std::size_t>(5 * rate), step = std::max<std::size_t>(1, static_cast<std::size_t>(rate / 1000.0));
        for (const std::size_t apart : {step, 2 * step, 3 * step})
            for (const float second : {400.0F, -400.0F}) {
                auto uv = quiet;
                uv[at] -= 400.0F;
                uv[at + apart] += second;
                const auto found = find_spikes(uv, Hertz{rate});
                CAPTURE(rate);
                CAPTURE(apart);
                CAPTURE(second);
                CHECK(covers(found, at));
                CHECK(covers(found, at + apart));
                CHECK(seconds_in(found, Hertz{rate}) <= 10.0 / std::min(rate, 1000.0));
            }
    }
}

TEST_CASE("the first samples of an abrupt contraction are no spikes and no movement") {
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        auto uv = muscle_noise(40000, 1000.0, seed, 1.0);
        for (std::size_t i = 0; i < uv.size(); ++i) {
            if (i % 4000 >= 3000 && i % 4000 < 3350) uv[i] *= 30.0F;  // flicks of 0.35 s at 30 dB
        }
        CHECK(find_spikes(uv, kRate).empty());
        CHECK(find_motion(slow_waves(uv, kRate), uv, kRate, {}).empty());
    }
}

TEST_CASE("slow waves beside too little muscle are movement") {
    auto uv = muscle_noise(40000, 1000.0, 9, 2.0);
    auto moved = uv;
    for (std::size_t i = 20000; i < 20600; ++i) {
        const double t = static_cast<double>(i - 20000) / 1000.0;
        moved[i] += static_cast<float>(100.0 * std::sin(kTurn * 5.0 * t) * std::sin(kTurn * t / 1.2));
    }
    const auto found = find_motion(slow_waves(moved, kRate), uv, kRate, {});
    REQUIRE(found.size() == 1);
    CHECK(found[0].begin < 20100);
    CHECK(found[0].end > 20500);
    CHECK(found[0].size() < 1300);
    CHECK(find_motion(slow_waves(uv, kRate), uv, kRate, {}).empty());
    CHECK(find_motion({}, uv, kRate, {}).empty());
}

TEST_CASE("a stretch filled by mains is an open electrode and a hum throughout is not") {
    auto uv = muscle_noise(60000, 1000.0, 2, 2.0);
    auto everywhere = uv;
    for (std::size_t i = 0; i < uv.size(); ++i) {
        const auto wave = static_cast<float>(std::sin(kTurn * 50.0 * static_cast<double>(i) / 1000.0));
        everywhere[i] += 20.0F * wave;
        if (i >= 30000 && i < 32000) uv[i] = 60.0F * wave;
    }
    const auto found = find_open_hum(uv, kRate, Hertz{450.0});
    REQUIRE(found.size() == 1);
    CHECK(found[0].begin <= 30000);
    CHECK(found[0].end >= 32000);
    CHECK(found[0].size() < 3500);
    CHECK(find_open_hum(everywhere, kRate, Hertz{450.0}).empty());
}

TEST_CASE("an open electrode is masked from its first to its last sample wherever it lies between the blocks") {
    const auto muscle = muscle_noise(60000, 1000.0, 2, 2.0);
    for (std::size_t begin = 30000; begin < 30250; begin += 25) {
        CAPTURE(begin);
        const std::size_t end = begin + 2125;
        auto uv = muscle;
        for (std::size_t i = begin; i < end; ++i)
            uv[i] = static_cast<float>(60.0 * std::sin(kTurn * 50.0 * static_cast<double>(i) / 1000.0));
        const auto found = find_open_hum(uv, kRate, Hertz{450.0});
        REQUIRE(found.size() == 1);
        CHECK(found[0].begin <= begin);
        CHECK(found[0].end >= end);
        CHECK(found[0].size() < 3500);
    }
}

TEST_CASE("heart beats are found and taken away and muscle keeps its size") {
    const auto muscle = muscle_noise(60000, 1000.0, 12, 2.0);
    auto uv = muscle;
    double next_s = 0.4;
    std::size_t beats = 0;
    while (next_s < 59.5) {
        for (std::size_t i = 0; i < uv.size(); ++i) {
            const double t = static_cast<double>(i) / 1000.0 - next_s;
            if (std::abs(t) < 0.1) uv[i] += static_cast<float>(30.0 * beat(t));
        }
        next_s += 0.85 + 0.05 * std::sin(next_s);
        ++beats;
    }
    const auto found = find_heart_beats(uv, kRate);
    CHECK(found.times_s.size() >= beats - 2);
    CHECK(found.times_s.size() <= beats + 1);
    CHECK(found.per_minute == Approx(60.0 / 0.85).epsilon(0.03));
    CHECK(found.peak_uv == Approx(15.0).epsilon(0.1));
    remove_heart_beats(uv, kRate, found);
    CHECK(rms(uv) == Approx(rms(muscle)).epsilon(0.02));
}

TEST_CASE("no heart is found in muscle or in quick contractions at a regular pace") {
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        auto uv = muscle_noise(60000, 1000.0, seed, 2.0);
        CHECK(find_heart_beats(uv, kRate).times_s.empty());
        for (std::size_t i = 0; i < uv.size(); ++i) {
            if (i % 1500 < 400) uv[i] *= 10.0F;
        }
        CHECK(find_heart_beats(uv, kRate).times_s.empty());
    }
    CHECK(find_heart_beats({}, kRate).times_s.empty());
}

TEST_CASE("filters in a header are read in the ways that writers spell them") {
    // EDF 1992, 'prefiltering': HP:0.1Hz LP:75Hz N:50Hz.
    const auto usual = parse_prefilter("HP:0.1Hz LP:75Hz N:50Hz");
    CHECK(usual.high_pass == 0.1);
    CHECK(usual.low_pass == 75.0);
    CHECK(usual.notch == 50.0);
    CHECK(parse_prefilter("hp: 20 Hz, lp: 1 kHz").low_pass == 1000.0);
    CHECK(parse_prefilter("HP10Hz").high_pass == 10.0);
    CHECK(parse_prefilter("Notch:60Hz").notch == 60.0);
    CHECK(!parse_prefilter("HP:DC LP:none").high_pass);
    CHECK(!parse_prefilter("HP:DC LP:none").low_pass);
    CHECK(!parse_prefilter("").notch);
    CHECK(!parse_prefilter("None").notch);
}

// P(|x| < 0.1 E|x|) = erf(0.1 / sqrt(pi)) = 0.0636 for Gaussian x.
TEST_CASE("rectified noise falls near 0 in the share that theory gives and a smoothed one never") {
    std::vector<float> uv = white_noise(40000, 3);
    for (std::size_t i = 0; i < uv.size(); ++i) uv[i] = std::abs(uv[i]) * (i / 5000 % 2 == 1 ? 10.0F : 1.0F);  // bursts of 5 s
    CHECK(share_near_zero(uv, kRate, 12.5) == Approx(std::erf(0.1 / std::sqrt(std::numbers::pi))).epsilon(0.1));
    CHECK(share_near_zero(uv, Hertz{20.0}, 12.5) == Approx(0.064).epsilon(0.15));  // five samples on either side
    CHECK(share_near_zero(uv, Hertz{4.0}, 12.5) == 0.0);
    CHECK(share_near_zero(uv, kRate, 50.0) == 0.0);  // nothing as loud
    CHECK(share_near_zero({}, kRate, 1.0) == 0.0);
    for (std::size_t i = 0; i < uv.size(); ++i) uv[i] = i / 5000 % 2 == 1 ? 10.0F : 0.5F;  // rises and falls at once, to a twentieth
    CHECK(share_near_zero(uv, kRate, 10.0) == 0.0);
    for (std::size_t i = 7000; i < 7500; ++i) uv[i] = std::nanf("");  // a gap is no fall
    CHECK(share_near_zero(uv, kRate, 10.0) == 0.0);
}

TEST_CASE("samples that come again are found wherever they stand and noise and standstill are not") {
    std::vector<float> uv = white_noise(60000, 5);
    for (float& v : uv) v = std::round(v * 20.0F) / 4.0F;  // digits, as recorders have
    CHECK(copied_seconds(uv, kRate) == 0.0);
    std::copy_n(uv.begin() + 1001, 12000, uv.begin() + 30010);
    CHECK(copied_seconds(uv, kRate) == Approx(12.0).epsilon(0.25));  // one stretch in 64 is looked at: 187 of them, SD 7 %
    std::copy_n(uv.begin() + 1001, 12000, uv.begin() + 45003);  // twice over
    CHECK(copied_seconds(uv, kRate) == Approx(24.0).epsilon(0.25));
    for (std::size_t i = 0; i < uv.size(); ++i) uv[i] = static_cast<float>(i % 15);  // fewer values than tell
    CHECK(copied_seconds(uv, kRate) == 0.0);
    CHECK(copied_seconds(std::vector<float>(5000, std::nanf("")), kRate) == 0.0);
    CHECK(copied_seconds({}, kRate) == 0.0);
}
