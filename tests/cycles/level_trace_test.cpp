#include "cycles/level_trace.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "cycles/made_session.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

const std::vector<MadeContraction> kThree = {{5.0, 10.0, 20.0, 0.0}, {15.0, 16.0, 30.0, 0.0}, {22.0, 30.0, 15.0, 0.0}};

std::vector<Burst> bursts_of(const MadeSession& session) { return find_bursts(trace_levels(session.envelope)); }

}  // namespace

TEST_CASE("boxes on a steady rest are found to the step") {
    const auto bursts = bursts_of(exported_session(kThree, 2.0, 40.0, 20.0));  // one sample a step: nothing to round
    REQUIRE(bursts.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK(bursts[i].span.begin_s == doctest::Approx(kThree[i].begin_s).epsilon(1e-9));
        CHECK(bursts[i].span.end_s == doctest::Approx(kThree[i].end_s).epsilon(1e-9));
        CHECK(bursts[i].peak_uv == doctest::Approx(kThree[i].level_uv).epsilon(1e-6));
    }
}

TEST_CASE("the two levels of boxes are their amplitudes") {
    const auto trace = trace_levels(exported_session({{5, 15, 20, 0}, {20, 30, 20, 0}}, 2.0, 40.0).envelope);
    CHECK(trace.rest == doctest::Approx(std::log(2.0)));
    CHECK(trace.work == doctest::Approx(std::log(20.0)));
    CHECK(trace.rest_spread == doctest::Approx(0.0));
    CHECK(trace.step_s == doctest::Approx(0.06));  // three samples of 20 ms
}

TEST_CASE("half a minute of contractions is found in hours of rest, and ten seconds are the least") {
    for (const int count : {1, 2, 6}) {
        std::vector<MadeContraction> made;
        for (int i = 0; i < count; ++i) made.push_back({4000.0 + 15.0 * i, 4006.0 + 15.0 * i, 20.0, 0.0});
        MadeSession session = exported_session(made, 2.0, 10800.0, 20.0);
        double turn = 0.0;
        for (float& v : session.envelope.uv) {
            turn += 1.7;
            v *= static_cast<float>(std::exp(0.15 * std::sin(turn) + 0.15 * std::sin(0.37 * turn)));
        }
        const auto bursts = bursts_of(session);
        CAPTURE(count);
        REQUIRE(bursts.size() == (count == 1 ? 0U : static_cast<std::size_t>(count)));
        for (std::size_t i = 0; i < bursts.size(); ++i) CHECK(bursts[i].span.begin_s == doctest::Approx(made[i].begin_s).epsilon(1e-4));
    }
}

TEST_CASE("an amplitude of nothing has one level, far below any recorder's") {
    Envelope nothing{.rate = Hertz{20.0}, .uv = std::vector<float>(400, 0.0F)};
    const LevelTrace trace = trace_levels(nothing);
    CHECK(trace.rest == doctest::Approx(std::log(1e-9)));
    CHECK(trace.work == doctest::Approx(trace.rest));
    CHECK(find_bursts(trace).empty());
}

TEST_CASE("amplitudes times a factor give the same contractions") {
    MadeSession session = noisy_session(kThree, 4.0, 40.0, 11);
    const auto once = bursts_of(session);
    for (float& e : session.envelope.uv) e *= 37.5F;
    const auto more = bursts_of(session);
    REQUIRE(once.size() == more.size());
    for (std::size_t i = 0; i < once.size(); ++i) CHECK(once[i].span == more[i].span);
}

TEST_CASE("rest put before a recording shifts every contraction by its length") {
    const auto plain = bursts_of(exported_session(kThree, 2.0, 40.0));
    std::vector<MadeContraction> later = kThree;
    for (MadeContraction& c : later) {
        c.begin_s += 6.0;
        c.end_s += 6.0;
    }
    const auto shifted = bursts_of(exported_session(later, 2.0, 46.0));
    REQUIRE(shifted.size() == plain.size());
    for (std::size_t i = 0; i < plain.size(); ++i) {
        CHECK(shifted[i].span.begin_s - plain[i].span.begin_s == doctest::Approx(6.0));
        CHECK(shifted[i].span.end_s - plain[i].span.end_s == doctest::Approx(6.0));
    }
}

TEST_CASE("spikes and short blips are no contractions") {
    std::vector<MadeContraction> contractions = kThree;
    contractions.push_back({12.0, 12.1, 60.0, 0.0});
    contractions.push_back({34.0, 34.08, 200.0, 0.0});
    CHECK(bursts_of(exported_session(contractions, 2.0, 40.0, 100.0)).size() == 3);
}

TEST_CASE("faint activity in the rest is no contraction") {
    std::vector<MadeContraction> contractions = kThree;
    contractions.push_back({33.0, 37.0, 3.0, 0.2});
    CHECK(bursts_of(noisy_session(contractions, 2.0, 40.0, 5)).size() == 3);
}

TEST_CASE("a dip within a contraction does not cut it in two") {
    // Down to half for 0.3 s: above a quarter of the way between 2 and 20 on the log scale, 3.6.
    const auto bursts =
        bursts_of(noisy_session({{5, 7, 20, 0}, {7, 7.3, 10, 0}, {7.3, 10, 20, 0}, {15, 20, 20, 0}}, 2.0, 30.0, 3));
    REQUIRE(bursts.size() == 2);
    CHECK(bursts[0].span.length_s() == doctest::Approx(5.0).epsilon(0.03));
}

TEST_CASE("recordings without contrast have no contraction") {
    CHECK(bursts_of(exported_session({}, 2.0, 30.0)).empty());
    for (std::uint64_t seed = 1; seed <= 20; ++seed) CHECK(bursts_of(noisy_session({}, 2.0, 60.0, seed)).empty());
    CHECK(find_bursts(trace_levels(Envelope{})).empty());
    Envelope one;
    one.rate = Hertz{50.0};
    one.uv = {3.0F};
    CHECK(find_bursts(trace_levels(one)).empty());
    one.uv.assign(3000, std::numeric_limits<float>::quiet_NaN());
    CHECK(find_bursts(trace_levels(one)).empty());
    one.uv.assign(3000, 0.0F);
    CHECK(find_bursts(trace_levels(one)).empty());
}

TEST_CASE("masked stretches neither begin nor end a contraction by themselves") {
    MadeSession session = exported_session(kThree, 2.0, 40.0, 20.0);
    const float masked = std::numeric_limits<float>::quiet_NaN();
    for (std::size_t i = 120; i < 140; ++i) session.envelope.uv[i] = masked;  // 6 to 7 s, within the first
    for (std::size_t i = 360; i < 380; ++i) session.envelope.uv[i] = masked;  // 18 to 19 s, at rest
    const auto bursts = bursts_of(session);
    REQUIRE(bursts.size() == 3);
    CHECK(bursts[0].span.begin_s == doctest::Approx(5.0));
    CHECK(bursts[0].span.end_s == doctest::Approx(10.0));
}

TEST_CASE("no contraction goes on through a long gap") {
    MadeSession session = exported_session({{5.0, 40.0}}, 2.0, 60.0, 20.0);
    for (std::size_t i = 160; i < 700; ++i) session.envelope.uv[i] = std::numeric_limits<float>::quiet_NaN();  // 8 to 35 s
    const auto bursts = bursts_of(session);
    REQUIRE(bursts.size() == 2);
    CHECK(bursts[0].span.begin_s <= 5.1);
    CHECK(bursts[0].span.end_s <= 18.1);
    CHECK(bursts[1].span.begin_s >= 34.9);
}

TEST_CASE("an export at 4 Hz with zeros at rest is read like any other") {
    const auto bursts = bursts_of(exported_session(kThree, 0.0, 40.0, 4.0));
    REQUIRE(bursts.size() == 3);
    CHECK(bursts[1].span.begin_s == doctest::Approx(15.0));
    CHECK(bursts[1].span.end_s == doctest::Approx(16.0));
}

TEST_CASE("flicks of 0.6 s are seen at twice the rest and noise alone is not") {
    int seen = 0;
    for (std::uint64_t seed = 1; seed <= 10; ++seed) {
        std::vector<MadeContraction> contractions = {{5, 13, 4, 0.3}};
        for (int i = 0; i < 10; ++i) contractions.push_back({20.0 + 4 * i, 20.6 + 4 * i, 4, 0.15});  // 6 dB
        const auto bursts = find_bursts(trace_levels(noisy_session(contractions, 2.0, 70.0, seed).envelope));
        for (const Burst& burst : bursts) {
            const auto meets = [&](const MadeContraction& c) {
                return burst.span.begin_s < c.end_s && burst.span.end_s > c.begin_s;
            };
            CHECK(std::any_of(contractions.begin(), contractions.end(), meets));
        }
        seen += static_cast<int>(bursts.size());
    }
    CHECK(seen >= 105);  // of 110: 95 %
    CHECK(seen <= 110);
}

TEST_CASE("a twitch of 0.2 s at five times the rest is no firm contraction") {
    std::vector<MadeContraction> contractions = kThree;
    contractions.push_back({33.0, 33.2, 10, 0.0});
    for (std::uint64_t seed = 1; seed <= 10; ++seed) {
        const auto bursts = find_bursts(trace_levels(noisy_session(contractions, 2.0, 40.0, seed).envelope));
        CHECK(std::count_if(bursts.begin(), bursts.end(), [](const Burst& burst) { return burst.firm; }) == 3);
    }
}

TEST_CASE("holds over a high rest stay apart though single steps of rest scatter up to their edge") {
    std::vector<MadeContraction> contractions;
    for (int i = 0; i < 8; ++i) contractions.push_back({10.0 + 15 * i, 16.0 + 15 * i, 18, 0.3});
    for (std::uint64_t seed = 1; seed <= 10; ++seed) {
        const auto bursts = find_bursts(trace_levels(noisy_session(contractions, 10.0, 130.0, seed).envelope));
        REQUIRE(bursts.size() == 8);
        for (std::size_t i = 0; i < 8; ++i) {
            CHECK(bursts[i].span.begin_s == doctest::Approx(contractions[i].begin_s).epsilon(0.5 / contractions[i].begin_s));
            CHECK(bursts[i].span.end_s == doctest::Approx(contractions[i].end_s).epsilon(0.5 / contractions[i].end_s));
        }
    }
}

TEST_CASE("rest that swings up to the level of work is called restless, a steady one at any contrast is not") {
    std::vector<MadeContraction> contractions, swings;
    for (int i = 0; i < 8; ++i) contractions.push_back({10.0 + 15 * i, 16.0 + 15 * i, 18, 0.3});
    for (int i = 0; i < 6; ++i) swings.push_back({20.0 * i, 20.0 * i + 18.0, 13, 8.0});  // up and down by nearly twice
    swings.insert(swings.end(), contractions.begin(), contractions.end());
    for (std::uint64_t seed = 1; seed <= 5; ++seed) {
        CHECK(rest_is_restless(trace_levels(noisy_session(swings, 7.0, 130.0, seed).envelope)));
        for (const double rest_uv : {1.0, 3.0, 10.0})
            CHECK_FALSE(rest_is_restless(trace_levels(noisy_session(contractions, rest_uv, 130.0, seed).envelope)));
    }
}
