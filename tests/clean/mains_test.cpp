#include "clean/mains.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <span>
#include <utility>

#include "clean/frames.hpp"
#include "clean/made_trace.hpp"
#include "support/shaped_noise.hpp"

using namespace tracehold;
using namespace tracehold::testing;
using doctest::Approx;

namespace {

// Rest of 2 uV with contractions of 20 uV, 4 s every 10 s; masked where `gap` says so.
std::vector<float> bursting_trace(double rate_hz, std::uint64_t seed, double length_s = 60.0) {
    const auto size = static_cast<std::size_t>(length_s * rate_hz);
    auto uv = muscle_noise(size, rate_hz, seed, 2.0);
    for (std::size_t i = 0; i < size; ++i) {
        if (std::fmod(static_cast<double>(i) / rate_hz, 10.0) >= 6.0) uv[i] *= 10.0F;
    }
    return uv;
}

struct Line {
    double multiple, amplitude_uv;
};

// hz may wander by wobble_hz over 17 s.
std::vector<float> hum(std::size_t size, double rate_hz, double hz, const std::vector<Line>& lines,
                       double wobble_hz = 0.0) {
    std::vector<float> out(size, 0.0F);
    for (std::size_t i = 0; i < size; ++i) {
        const double t = static_cast<double>(i) / rate_hz;
        const double phase = kTurn * hz * t - wobble_hz * 17.0 * std::cos(kTurn * t / 17.0);
        for (const Line& line : lines)
            out[i] += static_cast<float>(line.amplitude_uv * std::sin(line.multiple * phase + line.multiple));
    }
    return out;
}

std::vector<float> sum_of(const std::vector<float>& a, const std::vector<float>& b) {
    std::vector<float> out(a.size());
    std::transform(a.begin(), a.end(), b.begin(), out.begin(), std::plus<>());
    return out;
}

std::vector<float> difference(const std::vector<float>& a, const std::vector<float>& b) {
    std::vector<float> out(a.size());
    std::transform(a.begin(), a.end(), b.begin(), out.begin(), std::minus<>());
    return out;
}

double decibels(double ratio) { return 20.0 * std::log10(ratio); }

const std::vector<Line> kSixMicrovolts{{1, 8.0}, {3, 2.5}, {5, 1.2}};

}  // namespace

TEST_CASE("a steady hum loses at least 30 dB and clean muscle less than 1 % of its RMS") {
    for (const double rate : {1000.0, 2000.0, 4000.0}) {
        for (const double hz : {50.0, 49.93, 60.0, 60.02}) {
            const auto clean = bursting_trace(rate, 7);
            const auto added = hum(clean.size(), rate, hz, kSixMicrovolts);
            auto uv = sum_of(clean, added);
            const auto result =
                treat_mains(uv, Hertz{rate}, Hertz{0.45 * std::min(rate, 1000.0)}, MainsRemoval::automatic);
            CHECK(result.hum.removed);
            CHECK(result.hum.hz == (hz < 55.0 ? 50.0 : 60.0));
            CHECK(result.hum.rms_uv == Approx(rms(added)).epsilon(0.02));
            CHECK(result.lines_hz.size() == 3);
            CHECK(result.lines_hz[0] == Approx(hz).epsilon(1e-4));
            const auto error = difference(uv, clean);  // what is left of the hum, and what was taken from muscle
            CHECK(decibels(rms(error) / rms(added)) < -30.0);
            CHECK(rms(error) < 0.01 * rms(clean));
        }
    }
}

TEST_CASE("a hum that wobbles is followed on all its harmonics") {
    const auto clean = bursting_trace(2000.0, 8);
    const auto added = hum(clean.size(), 2000.0, 50.02, kSixMicrovolts, 0.1);
    auto uv = sum_of(clean, added);
    CHECK(treat_mains(uv, Hertz{2000.0}, Hertz{450.0}, MainsRemoval::automatic).hum.removed);
    const auto error = difference(uv, clean);
    double worst_rest = 0.0;  // in the rests, which a hum would shift
    for (std::size_t begin = 4000; begin + 20000 < uv.size(); begin += 20000)
        worst_rest = std::max(worst_rest, rms(error, begin, begin + 8000));
    MESSAGE("wobble of 0.1 Hz over 17 s: " << decibels(rms(error) / rms(added)) << " dB, worst rest "
                                           << decibels(worst_rest / rms(added)) << " dB");
    CHECK(decibels(rms(error) / rms(added)) < -20.0);
    CHECK(worst_rest < 0.247 * 2.0);  // so that a rest of 2 uV reads less than 3 % high: sqrt(1 + 0.247^2) = 1.03
}

TEST_CASE("without a hum nothing is taken from muscle") {
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        const auto clean = bursting_trace(1000.0, seed);
        auto uv = clean;
        const auto result = treat_mains(uv, Hertz{1000.0}, Hertz{450.0}, MainsRemoval::automatic);
        CHECK(!result.hum.removed);
        CHECK(uv == clean);
        CHECK(result.hum.rms_uv < 0.7);  // a third of the rest: what 9 bins of muscle may hold by chance
    }
}

TEST_CASE("a hum is measured and left in where that is asked for") {
    const auto clean = bursting_trace(1000.0, 3);
    const auto uv = sum_of(clean, hum(clean.size(), 1000.0, 50.0, kSixMicrovolts));
    auto off = uv, right = uv;
    const auto measured = treat_mains(off, Hertz{1000.0}, Hertz{450.0}, MainsRemoval::off);
    CHECK(off == uv);
    CHECK(!measured.hum.removed);
    CHECK(measured.hum.rms_uv == Approx(6.0).epsilon(0.02));
    CHECK(treat_mains(right, Hertz{1000.0}, Hertz{450.0}, MainsRemoval::hz50).hum.removed);
}

TEST_CASE("hum at the other of 50 and 60 Hz is removed where it is much the clearer") {
    const auto clean = bursting_trace(1000.0, 3);
    for (const auto& [hz, how] : {std::pair{60.0, MainsRemoval::hz50}, {50.0, MainsRemoval::hz60}}) {
        auto uv = sum_of(clean, hum(clean.size(), 1000.0, hz, kSixMicrovolts));
        const auto result = treat_mains(uv, Hertz{1000.0}, Hertz{450.0}, how);
        CHECK(result.hum.removed);
        CHECK(result.hum.hz == hz);
        CHECK(rms(difference(uv, clean)) < 0.01 * rms(clean));
        auto both = sum_of(sum_of(clean, hum(clean.size(), 1000.0, 50.0, kSixMicrovolts)), hum(clean.size(), 1000.0, 60.0, kSixMicrovolts));
        CHECK(treat_mains(both, Hertz{1000.0}, Hertz{450.0}, how).hum.hz == 110.0 - hz);
        auto none = clean;
        CHECK_FALSE(treat_mains(none, Hertz{1000.0}, Hertz{450.0}, how).hum.removed);
        CHECK(none == clean);
    }
}

TEST_CASE("hum that begins and ends at once is removed up to its ends and masked there") {
    // Within a rest, over a contraction, and to the end.
    const std::vector<std::pair<double, double>> there{{11.13, 13.61}, {24.4, 33.2}, {52.77, 60.0}};
    for (const double hum_uv : {5.0, 9.0, 15.0}) {
        for (std::uint64_t seed = 1; seed <= 4; ++seed) {
            CAPTURE(hum_uv);
            CAPTURE(seed);
            const auto clean = bursting_trace(1000.0, seed);
            auto added = hum(clean.size(), 1000.0, 50.03, {{1, hum_uv * 1.35}, {3, hum_uv * 0.4}});
            for (std::size_t i = 0; i < added.size(); ++i) {
                const double t = static_cast<double>(i) / 1000.0;
                if (std::none_of(there.begin(), there.end(), [&](auto on) { return t >= on.first && t < on.second; })) added[i] = 0.0F;
            }
            auto uv = sum_of(clean, added);
            const MainsTreatment result = treat_mains(uv, Hertz{1000.0}, Hertz{450.0}, MainsRemoval::automatic);
            CHECK(result.hum.removed);
            for (const std::size_t step : {11130UL, 13610UL, 24400UL, 33200UL, 52770UL}) CHECK(std::isnan(uv[step]));
            CHECK(result.steps.size() == 5);
            CHECK(seconds_in(result.steps, Hertz{1000.0}) < 3.0);
            // A rest of 2 uV reads less than 3 % high in every quarter second: sqrt(1 + 0.247^2) = 1.03.
            const auto error = difference(uv, clean);
            for (std::size_t begin = 0; begin + 250 <= uv.size(); begin += 250) {
                const double left = std::sqrt(mean_power(std::span(error).subspan(begin, 250)));
                CHECK(left < (begin % 10000 < 6000 ? 0.247 * 2.0 : 2.0));
            }
        }
    }
}

TEST_CASE("hum of less than a second is masked whole, and hum that swells is not") {
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
        CAPTURE(seed);
        const auto clean = bursting_trace(1000.0, seed);
        auto uv = clean, swelling = clean;
        const auto added = hum(clean.size(), 1000.0, 50.0, {{1, 13.0}, {3, 4.0}});
        for (std::size_t i = 0; i < uv.size(); ++i) {
            const double t = static_cast<double>(i) / 1000.0, since = std::fmod(t, 10.0) - 2.2;
            if (since >= 0.0 && since < 0.6) uv[i] += added[i];
            swelling[i] += static_cast<float>(added[i] * (1.0 + 0.5 * std::sin(kTurn * t / 7.0)));
        }
        const auto bursts = treat_mains(uv, Hertz{1000.0}, Hertz{450.0}, MainsRemoval::automatic);
        CHECK(bursts.steps.size() == 6);
        for (std::size_t k = 0; k < 6; ++k)
            for (std::size_t i = 2200; i < 2800; i += 20) CHECK(std::isnan(uv[10000 * k + i]));
        CHECK(seconds_in(bursts.steps, Hertz{1000.0}) < 6 * 1.8);
        CHECK(treat_mains(swelling, Hertz{1000.0}, Hertz{450.0}, MainsRemoval::automatic).steps.empty());
    }
}

TEST_CASE("masked stretches stay masked and do not disturb what is beside them") {
    const auto clean = bursting_trace(1000.0, 4);
    auto uv = sum_of(clean, hum(clean.size(), 1000.0, 50.0, kSixMicrovolts));
    const auto masked = [](std::size_t i) { return (i > 20000 && i < 23000) || i % 1000 < 5; };
    for (std::size_t i = 0; i < uv.size(); ++i) {
        if (masked(i)) uv[i] = std::nanf("");
    }
    CHECK(treat_mains(uv, Hertz{1000.0}, Hertz{450.0}, MainsRemoval::automatic).hum.removed);
    for (std::size_t i = 0; i < uv.size(); ++i) CHECK(std::isnan(uv[i]) == masked(i));
    CHECK(rms(difference(uv, clean)) < 0.01 * rms(clean));
}

TEST_CASE("doubling the trace doubles the hum and what is left") {
    auto once = sum_of(bursting_trace(1000.0, 5), hum(60000, 1000.0, 50.0, kSixMicrovolts));
    auto twice = once;
    for (float& v : twice) v *= 2.0F;
    const double a = treat_mains(once, Hertz{1000.0}, Hertz{450.0}, MainsRemoval::automatic).hum.rms_uv;
    const double b = treat_mains(twice, Hertz{1000.0}, Hertz{450.0}, MainsRemoval::automatic).hum.rms_uv;
    CHECK(b == Approx(2 * a).epsilon(1e-6));
    CHECK(rms(twice) == Approx(2 * rms(once)).epsilon(1e-6));
}

TEST_CASE("too short or masked or flat traces hold no hum") {
    std::vector<float> none, few(100, 1.0F), flat(5000, 0.0F), masked(5000, std::nanf(""));
    for (std::vector<float>* uv : {&none, &few, &flat, &masked}) {
        const auto result = treat_mains(*uv, Hertz{1000.0}, Hertz{450.0}, MainsRemoval::automatic);
        CHECK(!result.hum.removed);
        CHECK(result.hum.rms_uv == 0.0);
        CHECK(result.hum.share_of_power == 0.0);
    }
    std::vector<float> slow(5000, 1.0F);
    CHECK(!treat_mains(slow, Hertz{80.0}, Hertz{36.0}, MainsRemoval::automatic).hum.removed);
}
