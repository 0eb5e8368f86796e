// Traces made of independent noises, so that the share they have in common is known in closed form.
#include "measures/crosstalk.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdio>

#include "measures/emg_noise.hpp"
#include "measures/made_session.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

struct Pair {
    MadeSession made;
    CleanRecording beside;
    std::optional<Finding> finding() const { return crosstalk_finding(view_cycles(made.input()), &beside); }
};

// Both muscles work at 20 µV in the same windows and rest at rest_uv; of the second one `leak` reaches the first
// electrode, `late` samples later. Their common share of the power there is leak^2 / (1 + leak^2).
Pair session(double leak, double rest_uv = 2.0, std::size_t late = 0, std::uint64_t seed = 1) {
    Pair pair{boxes(1000, rest_uv, 20.0, {made_cycle(10, 16, 25), made_cycle(25, 31, 40), made_cycle(40, 46, 55)}), {}};
    const EmgNoise shape;
    NormalStream stream(seed);
    const std::vector<double> own = unit_noise(shape, pair.made.envelope.uv.size(), stream);
    const std::vector<double> other = unit_noise(shape, own.size(), stream);
    pair.beside = pair.made.clean;
    for (std::size_t i = 0; i < own.size(); ++i) {
        const auto level = static_cast<double>(pair.made.envelope.uv[i]);
        const double leaks = i < late ? 0.0 : leak * pair.made.envelope.uv[i - late] * other[i - late];
        pair.made.clean.uv[i] = static_cast<float>(level * own[i] + leaks);
        pair.beside.uv[i] = static_cast<float>(level * other[i]);
    }
    pair.made.clean.bandwidth_hz = pair.beside.bandwidth_hz = shape.bandwidth_hz();
    pair.made.accessory = made_envelope(1000, 55, [](double) { return 1.0; });
    return pair;
}

}  // namespace

TEST_CASE("the share that two traces have in common is told with what it adds to the amplitude") {
    const auto finding = session(0.5).finding();  // 0.25 / 1.25 = 20 %, r = 0.447; 1 / sqrt(0.8) = 1.118
    REQUIRE(finding);
    CHECK(finding->code == "crosstalk");
    CHECK(finding->severity == Severity::caution);
    // Within three times the scatter of r, sqrt((1 - r^2) / 2BT).
    const double scatter = std::sqrt(0.8 / (2.0 * EmgNoise{}.bandwidth_hz() * 18.0));
    double share_pct = 0.0, r = 0.0, above_pct = 0.0;
    REQUIRE(std::sscanf(finding->text.c_str(),
                        "%lf %% of the power in the contractions is the accessory channel's signal as well "
                        "(correlation of the two traces "
                        "%lf over 18 s): the amplitude may hold the other muscle's signal and read %lf %% too high",
                        &share_pct, &r, &above_pct) == 3);
    CHECK(std::abs(r - std::sqrt(0.2)) < 3.0 * scatter + 0.005);
    CHECK(std::abs(share_pct - 100.0 * r * r) < 1.0);
    CHECK(std::abs(above_pct - 100.0 * (1.0 / std::sqrt(1.0 - r * r) - 1.0)) < 1.0);
    CHECK(session(-0.5).finding());
    CHECK(session(0.5, 2.0, 8).finding());         // 8 ms later
    CHECK_FALSE(session(0.5, 2.0, 15).finding());  // no two electrodes on one body are so far apart
}

TEST_CASE("of a trace that is mostly the other muscle's no figure is given") {
    const auto text = [](double leak) { return session(leak).finding()->text; };
    CHECK(text(1.0).find("% too high") != std::string::npos);  // half of the power
    CHECK(text(3.0).find("far too high; what of it is this muscle's own cannot be told") != std::string::npos);  // nine tenths
}

TEST_CASE("less than a tenth is told where it is as large as rest") {
    CHECK(session(0.36, 15.0).finding());        // 11.5 %
    CHECK_FALSE(session(0.30, 15.0).finding());  // 8.3 %, 6 µV beside a rest of 15
    CHECK(session(0.20, 2.0).finding());         // 3.8 %, 4 µV beside a rest of 2
    CHECK_FALSE(session(0.20, 8.0).finding());
    CHECK_FALSE(session(0.05, 0.1).finding());  // 1 µV, a four-hundredth of the power
    Pair restless = session(0.20, 2.0);  // of which no rest is left to compare with
    for (const TimeSpan rest : {TimeSpan{0, 10}, {16, 25}, {31, 40}, {46, 55}}) mask(restless.made.envelope, rest.begin_s, rest.end_s);
    CHECK_FALSE(restless.finding());
}

TEST_CASE("independent muscles that work together share nothing") {
    for (std::uint64_t seed = 1; seed <= 100; ++seed) CHECK_FALSE(session(0.0, 2.0, 0, seed).finding());
}

TEST_CASE("crosstalk is not looked for where it cannot be seen") {
    Pair pair = session(1.0);
    CHECK(pair.finding());
    CHECK_FALSE(crosstalk_finding(view_cycles(pair.made.input()), nullptr));
    CHECK_FALSE(crosstalk_finding({}, &pair.beside));
    for (Cycle& cycle : pair.made.cycles.cycles) cycle.status = CycleStatus::missed;
    CHECK_FALSE(pair.finding());
    for (Cycle& cycle : pair.made.cycles.cycles) cycle.status = CycleStatus::done;
    pair.beside.rate = Hertz{500.0};
    CHECK_FALSE(pair.finding());
    pair.beside.rate = pair.made.clean.rate;
    pair.beside.kind = ChannelKind::envelope;
    CHECK_FALSE(pair.finding());
    pair.beside.kind = ChannelKind::raw;
    std::fill(pair.beside.uv.begin(), pair.beside.uv.end(), kMasked);
    CHECK_FALSE(pair.finding());
    Pair twin = session(1.0);
    twin.made.accessory = twin.made.envelope;
    CHECK_FALSE(twin.finding());
}
