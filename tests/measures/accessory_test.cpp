#include <doctest/doctest.h>

#include <cmath>

#include "measures/made_session.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

// The muscle that is scored works at 10-18 s with a wobble; the accessory as told.
MadeSession with_accessory(double rate_hz, const std::function<double(double)>& accessory) {
    MadeSession made =
        made_session(1000, 40, [](double t) { return t >= 10 && t < 18 ? 20.0 + std::sin(3 * t) : 2.0; });
    add_cycle(made, made_cycle(10, 18, 40));
    made.accessory = made_envelope(rate_hz, 40, accessory);
    return made;
}

}  // namespace

TEST_CASE("co-activity is in percent of the accessory's own best second") {
    const MadeSession made = with_accessory(1000, [](double t) {
        return t >= 30 && t < 33 ? 8.0 : t >= 10 && t < 18 ? 2.0 : 1.0;
    });
    CHECK(*made.value("coactivity_pct").value == doctest::Approx(25.0));
    const MadeSession louder = with_accessory(1000, [](double t) {
        return t >= 30 && t < 33 ? 80.0 : t >= 10 && t < 18 ? 20.0 : 10.0;
    });
    CHECK(*louder.value("coactivity_pct").value == doctest::Approx(25.0));
}

TEST_CASE("the correlation is 1 with itself and -1 with its mirror and blind to unit") {
    const MadeSession same = with_accessory(1000, [](double t) { return 7.0 + 3.0 * std::sin(3 * t); });
    CHECK(*same.value("coactivity_correlation").value == doctest::Approx(1.0));
    const MadeSession mirror = with_accessory(1000, [](double t) { return 7.0 - std::sin(3 * t); });
    CHECK(*mirror.value("coactivity_correlation").value == doctest::Approx(-1.0));
    // Quarter of a period off: uncorrelated over whole periods (8 s are 3.82 of them).
    const MadeSession apart = with_accessory(1000, [](double t) { return 7.0 + std::cos(3 * t); });
    CHECK(std::abs(*apart.value("coactivity_correlation").value) < 0.05);
}

TEST_CASE("a channel does not work along with itself") {
    MadeSession made = with_accessory(1000, [](double) { return 1.0; });
    made.accessory = made.envelope;
    for (const char* key : {"coactivity_pct", "coactivity_correlation"})
        CHECK(made.value(key).reason == "the accessory channel has the very same samples");
    made.accessory->uv[20000] *= 1.01F;
    for (const char* key : {"coactivity_pct", "coactivity_correlation"}) CHECK(made.value(key));
}

TEST_CASE("an accessory at another rate is read at the nearest time") {
    const MadeSession slow = with_accessory(250, [](double t) { return 7.0 + std::sin(3 * t); });
    CHECK(*slow.value("coactivity_correlation").value == doctest::Approx(1.0).epsilon(1e-3));
}

TEST_CASE("no accessory a silent one and a masked one give reasons") {
    MadeSession made = with_accessory(1000, [](double) { return 0.0; });
    CHECK(made.value("coactivity_pct").reason == "the accessory channel has no valid second above 0");
    CHECK(made.value("coactivity_correlation").reason == "one of the channels does not vary");
    mask(*made.accessory, 10, 13);
    CHECK(made.value("coactivity_correlation").reason == "less than 70 % of the window is valid signal");
    made.accessory.reset();
    CHECK(made.value("coactivity_pct").reason == "no accessory channel");
    CHECK(made.value("coactivity_correlation").reason == "no accessory channel");
}
