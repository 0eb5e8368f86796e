#include "simulate/effort.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace tracehold;

namespace {

MuscleSetting exact_muscle() {
    MuscleSetting m;
    m.work_spread_pct = m.ramp_spread_pct = m.reaction_spread_s = m.release_spread_s = 0;
    return m;
}

const Demand kDemand{1, StepKind::hold, 10, 18, 28};

Effort exact_effort(const MuscleSetting& m) { return answer(m, kDemand, 0, RandomStream(1, Purpose::effort, 1), 0); }

}  // namespace

TEST_CASE("without spreads a contraction stands where the setting says") {
    const MuscleSetting m = exact_muscle();
    const Effort effort = exact_effort(m);
    CHECK(effort.onset_s == doctest::Approx(10.25));
    CHECK(effort.rise_end_s == doctest::Approx(10.55));
    CHECK(effort.fall_begin_s == doctest::Approx(18.3));
    CHECK(effort.offset_s == doctest::Approx(18.6));
    CHECK(effort.height_uv == doctest::Approx(20));
}

TEST_CASE("each shape starts at nothing and ends at its plateau and never falls on the way") {
    for (const RampShape shape : {RampShape::linear, RampShape::cosine, RampShape::exponential, RampShape::quadratic}) {
        CHECK(std::abs(ramp(shape, 0)) < 1e-12);
        CHECK(ramp(shape, 1) == doctest::Approx(1).epsilon(1e-12));
        for (double u = 0; u < 0.999; u += 0.01) CHECK(ramp(shape, u + 0.01) > ramp(shape, u));
    }
    CHECK(ramp(RampShape::linear, 0.3) == doctest::Approx(0.3));
    CHECK(ramp(RampShape::cosine, 0.25) == doctest::Approx((1 - std::sqrt(0.5)) / 2));
    CHECK(ramp(RampShape::exponential, 1.0 / 3) == doctest::Approx((1 - std::exp(-1)) / (1 - std::exp(-3))));
    CHECK(ramp(RampShape::quadratic, 0.5) == doctest::Approx(0.25));
}

TEST_CASE("a fall is the mirror image of a rise") {
    MuscleSetting m = exact_muscle();
    m.shape = RampShape::exponential;
    m.fall_s = m.rise_s = 0.4;
    const Effort effort = exact_effort(m);
    for (double d = 0.01; d < 0.4; d += 0.05) {
        CHECK(contraction_uv(m, effort, effort.onset_s + d) ==
              doctest::Approx(contraction_uv(m, effort, effort.offset_s - d)));
    }
}

TEST_CASE("the amplitude is the power sum of rest and contraction and the rest alone outside") {
    const MuscleSetting m = exact_muscle();
    const std::vector<Effort> efforts{exact_effort(m)};
    const auto power = muscle_power(m, efforts, 0, Hertz{100}, 3000);
    CHECK(power[0] == doctest::Approx(4));
    CHECK(power[1024] == doctest::Approx(4));
    CHECK(power[1040] == doctest::Approx(4 + 100));
    CHECK(power[1400] == doctest::Approx(4 + 400));
    CHECK(power[1859] == doctest::Approx(4 + 400.0 / 900));
    CHECK(power[1860] == doctest::Approx(4));
}

TEST_CASE("an abrupt contraction is there at its onset and gone at its offset") {
    MuscleSetting m = exact_muscle();
    m.rise_s = m.fall_s = 0;
    const Effort effort = exact_effort(m);
    CHECK(contraction_uv(m, effort, effort.onset_s - 1e-9) == 0);
    CHECK(contraction_uv(m, effort, effort.onset_s) == doctest::Approx(20));
    CHECK(contraction_uv(m, effort, effort.offset_s - 1e-9) == doctest::Approx(20));
    CHECK(contraction_uv(m, effort, effort.offset_s) == 0);
}

TEST_CASE("fading takes its share a second and a hold and leaves at least a tenth") {
    MuscleSetting m = exact_muscle();
    m.fade_pct_per_s = 5;
    m.fade_pct_per_cycle = 10;
    const Effort first = exact_effort(m);
    CHECK(contraction_uv(m, first, first.rise_end_s + 4) == doctest::Approx(20 * 0.8));
    CHECK(answer(m, kDemand, 2, RandomStream(1, Purpose::effort, 3), 0).height_uv == doctest::Approx(20 * 0.81));
    m.fade_pct_per_s = 50;
    CHECK(contraction_uv(m, first, first.rise_end_s + 5) == doctest::Approx(2));
}

TEST_CASE("compression counts from the onset and from hold to hold and ends with the contraction") {
    MuscleSetting m = exact_muscle();
    m.compression_pct_per_s = 2;
    m.compression_pct_per_cycle = 10;
    const Effort second = answer(m, kDemand, 1, RandomStream(1, Purpose::effort, 2), 0);
    CHECK(spectrum_scale(m, {second}, 9) == 1);
    CHECK(spectrum_scale(m, {second}, second.onset_s) == doctest::Approx(0.9));
    CHECK(spectrum_scale(m, {second}, second.onset_s + 5) == doctest::Approx(0.81));
    CHECK(spectrum_scale(m, {second}, second.offset_s) == 1);
}

TEST_CASE("spreads have the standard deviation that the setting states") {
    const MuscleSetting m;
    double height = 0, height2 = 0, rise = 0, rise2 = 0, reaction2 = 0;
    constexpr int kCount = 4000;
    for (int i = 0; i < kCount; ++i) {
        const Effort effort = answer(m, kDemand, 0, RandomStream(3, Purpose::effort, i), 0);
        const double length = effort.rise_end_s - effort.onset_s;
        height += effort.height_uv / kCount;
        height2 += effort.height_uv * effort.height_uv / kCount;
        rise += length / kCount;
        rise2 += length * length / kCount;
        reaction2 += std::pow(effort.onset_s - kDemand.from_s - m.reaction_s, 2) / kCount;
    }
    // The cut at 2.5 SD takes 2 % off a standard deviation; 4000 draws know it to 1.1 %.
    CHECK(std::sqrt(height2 - height * height) == doctest::Approx(1.0).epsilon(0.05));
    CHECK(std::sqrt(rise2 - rise * rise) == doctest::Approx(0.045).epsilon(0.05));
    CHECK(std::sqrt(reaction2) == doctest::Approx(0.08).epsilon(0.05));
    CHECK(rise == doctest::Approx(0.3).epsilon(0.01));
}

TEST_CASE("a contraction never starts before the one before it has ended") {
    MuscleSetting m = exact_muscle();
    const Effort effort = answer(m, kDemand, 1, RandomStream(1, Purpose::effort, 2), 12.0);
    CHECK(effort.onset_s == 12.0);
    CHECK(effort.rise_end_s == doctest::Approx(12.3));
}
