// Onsets and offsets of exported amplitudes: with scatter, gaps and nothing at all.
#include "cycles/onset_envelope.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "cycles/made_session.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

constexpr Hertz kRate{20.0};
constexpr float kMasked = std::numeric_limits<float>::quiet_NaN();
const std::vector<TimeSpan> kWindows{{10.0, 15.0}, {25.0, 30.0}, {40.0, 45.0}};

// Rest at 2, work at 20 from 0.3 s after each cue to 0.3 s after its end, each value off by a share of itself.
std::vector<float> scattered(double share, std::uint64_t seed) {
    Dice dice(seed);
    std::vector<float> uv;
    for (int i = 0; i < 60 * 20; ++i) {
        const double t = i / 20.0;
        const bool work = std::any_of(kWindows.begin(), kWindows.end(), [&](TimeSpan w) {
            return t >= w.begin_s + 0.3 - 1e-9 && t < w.end_s + 0.3 - 1e-9;
        });
        uv.push_back(static_cast<float>((work ? 20.0 : 2.0) * std::max(0.1, 1.0 + share * dice.normal())));
    }
    return uv;
}

}  // namespace

TEST_CASE("a step without scatter is placed between its two samples with the error of one step") {
    const auto placed = place_on_envelope(scattered(0.0, 1), kRate, kWindows);
    REQUIRE(placed.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        REQUIRE(placed[i].onset);
        REQUIRE(placed[i].offset);
        CHECK(placed[i].detected);
        CHECK(placed[i].onset->time_s == doctest::Approx(kWindows[i].begin_s + 0.3 - 0.025));
        CHECK(placed[i].offset->time_s == doctest::Approx(kWindows[i].end_s + 0.3 - 0.025));
        CHECK(placed[i].onset->error_s == doctest::Approx(0.05));
        CHECK(placed[i].onset_reason.empty());
    }
}

TEST_CASE("with scatter the interval lies about the time and holds the truth") {
    int held = 0;
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        for (const Placement& p : place_on_envelope(scattered(0.5, seed), kRate, kWindows)) {
            REQUIRE(p.onset);
            REQUIRE(p.offset);
            for (const EventTime& event : {*p.onset, *p.offset}) {
                CHECK(event.low_s <= event.time_s);
                CHECK(event.time_s <= event.high_s);
                CHECK(event.error_s >= 0.05);
            }
        }
        const auto placed = place_on_envelope(scattered(0.5, seed), kRate, kWindows);
        for (std::size_t i = 0; i < 3; ++i) {
            const double onset = kWindows[i].begin_s + 0.275, offset = kWindows[i].end_s + 0.275;
            held += placed[i].onset->low_s <= onset && onset <= placed[i].onset->high_s;
            held += placed[i].offset->low_s <= offset && offset <= placed[i].offset->high_s;
        }
    }
    MESSAGE("of 240 intervals " << held << " hold the truth");
    CHECK(held >= 228);  // 95 %
}

TEST_CASE("times a factor gives the same times") {
    std::vector<float> uv = scattered(0.2, 3);
    const auto once = place_on_envelope(uv, kRate, kWindows);
    for (float& e : uv) e *= 8.0F;
    const auto more = place_on_envelope(uv, kRate, kWindows);
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK(more[i].onset->time_s == once[i].onset->time_s);
        CHECK(more[i].offset->time_s == once[i].offset->time_s);
    }
}

TEST_CASE("masked samples are passed over and the steps around them still placed") {
    std::vector<float> uv = scattered(0.0, 1);
    for (std::size_t i = 0; i < uv.size(); i += 7) uv[i] = kMasked;
    const auto placed = place_on_envelope(uv, kRate, kWindows);
    for (std::size_t i = 0; i < 3; ++i) {
        REQUIRE(placed[i].onset);
        CHECK(std::abs(placed[i].onset->time_s - (kWindows[i].begin_s + 0.275)) <= 0.1);
        REQUIRE(placed[i].offset);
        CHECK(std::abs(placed[i].offset->time_s - (kWindows[i].end_s + 0.275)) <= 0.1);
    }
}

TEST_CASE("nothing recorded and nothing done place nothing and say so") {
    for (const float level : {0.0F, 3.0F, kMasked}) {
        CAPTURE(level);
        for (const Placement& p : place_on_envelope(std::vector<float>(1200, level), kRate, kWindows)) {
            CHECK_FALSE(p.detected);
            CHECK_FALSE(p.onset);
            CHECK_FALSE(p.offset);
            CHECK_FALSE(p.onset_reason.empty());
            CHECK_FALSE(p.offset_reason.empty());
        }
    }
    CHECK(place_on_envelope({}, kRate, kWindows).size() == 3);
    CHECK(place_on_envelope(scattered(0.0, 1), kRate, {}).empty());
}

TEST_CASE("a contraction that goes on to the end of what is searched has no offset") {
    std::vector<float> uv = scattered(0.0, 1);
    uv.resize(44 * 20);  // the recording ends within the last contraction
    const auto placed = place_on_envelope(uv, kRate, kWindows);
    CHECK(placed[2].detected);
    CHECK(placed[2].onset);
    CHECK_FALSE(placed[2].offset);
    CHECK(placed[2].offset_reason == "offset not detectable");
}
