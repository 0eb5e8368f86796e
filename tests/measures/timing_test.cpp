#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "measures/made_session.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

constexpr double kTau = 0.4;

// Rest 2 µV; from the contract cue at 10 s toward 12 µV and from the relax cue at 18 s back, with time constant tau.
double approach(double t) {
    const double at_relax = 10.0 * (1.0 - std::exp(-8.0 / kTau));
    if (t < 10) return 2.0;
    return t < 18 ? 2.0 + 10.0 * (1.0 - std::exp(-(t - 10) / kTau)) : 2.0 + at_relax * std::exp(-(t - 18) / kTau);
}

MadeSession exponential(double rate_hz = 1000) {
    MadeSession made = made_session(rate_hz, 40, approach);
    add_cycle(made, made_cycle(10, 18, 40));
    made.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 8, 22, 1}};
    made.with_plan = true;
    return made;
}

EventTime event(double time_s, double error_s) {
    return {time_s, error_s, time_s - 2 * error_s, time_s + 2 * error_s, false};
}

}  // namespace

TEST_CASE("an exponential approach reaches nine tenths after ln 10 time constants") {
    const MadeSession made = exponential();
    CHECK(*made.value("time_to_hold_s").value == doctest::Approx(kTau * std::log(10.0)).epsilon(0.002));
    CHECK(*made.value("release_s").value == doctest::Approx(kTau * std::log(10.0)).epsilon(0.002));
    CHECK_FALSE(made.value("time_to_hold_s").error);
}

TEST_CASE("times do not depend on the unit nor on when it happened") {
    MadeSession scaled = exponential();
    for (float& e : scaled.envelope.uv) e *= 7.0f;
    MadeSession later = made_session(1000, 53, [](double t) { return approach(t - 13); });
    add_cycle(later, made_cycle(23, 31, 53));
    for (const char* key : {"time_to_hold_s", "release_s"}) {
        CAPTURE(std::string(key));
        CHECK(*scaled.value(key).value == doctest::Approx(*exponential().value(key).value).epsilon(0.002));
        CHECK(*later.value(key).value == doctest::Approx(*exponential().value(key).value).epsilon(0.002));
    }
}

TEST_CASE("the hold level must be kept for a tenth of a second") {
    MadeSession made = made_session(1000, 30, [](double t) {
        if (t >= 10.2 && t < 10.29) return 20.0;  // too short
        return t >= 10.7 && t < 18 ? 20.0 : 1.0;
    });
    add_cycle(made, made_cycle(10, 18, 30));
    CHECK(*made.value("time_to_hold_s").value == doctest::Approx(0.7));
}

TEST_CASE("nothing is counted from a cue at which the recording begins within the contraction") {
    const auto from = [](double w0, double begin_s) {
        MadeSession made = made_session(1000, 30, [=](double t) { return t >= begin_s && t < 8 ? 20.0 : 1.0; });
        add_cycle(made, made_cycle(w0, 8, 30, StepKind::endurance));
        return made;
    };
    for (const char* key : {"reaction_s", "time_to_hold_s", "endurance_s"}) {
        CAPTURE(key);
        CHECK(from(0.0, 0.0).value(key).reason == kBegunBefore);
        CHECK(from(0.05, 0.0).value(key).reason == kBegunBefore);
        CHECK(from(0.2, 0.0).value(key).reason != kBegunBefore);
        CHECK(from(0.0, 0.3).value(key).reason != kBegunBefore);
    }
    CHECK(from(0.0, 0.0).value("release_s").value == 0.0);
    MadeSession set = from(0.0, 0.0);
    set.cycles.cycles[0].onset = event(0.02, 0.01);
    CHECK(set.value("time_to_hold_s").value);
}

TEST_CASE("release waits for two tenths of a second of rest") {
    MadeSession made = made_session(1000, 30, [](double t) {
        if (t < 18 && t >= 10) return 20.0;
        if (t >= 18 && t < 18.4) return 20.0;
        return t >= 18.59 && t < 19.0 ? 20.0 : 1.0;  // lets go for 0.19 s and pulls again
    });
    add_cycle(made, made_cycle(10, 18, 30));
    CHECK(*made.value("release_s").value == doctest::Approx(1.0));
}

TEST_CASE("who lets go before the cue has no release time and who lets go with it has released at once") {
    for (const double end_s : {15.5, 17.5, 17.99, 18.0}) {
        CAPTURE(end_s);
        MadeSession made = made_session(1000, 30, [&](double t) { return t >= 10 && t < end_s ? 20.0 : 1.0; });
        add_cycle(made, made_cycle(10, 18, 30));
        const Estimate release = made.value("release_s");
        if (end_s < 18)
            CHECK(release.reason == "had let go before the cue");
        else
            CHECK(release.value == 0.0);
    }
}

TEST_CASE("an offset that lies before the relax cue for certain leaves no release but a time to the hold") {
    MadeSession made = made_session(1000, 30, [](double t) { return t >= 10 && t < 15 ? 20.0 : t >= 18.5 && t < 19 ? 5.0 : 1.0; });
    add_cycle(made, made_cycle(10, 18, 30));
    made.cycles.cycles[0].offset = event(17.0, 0.1);
    CHECK(made.value("release_s").reason == "had let go before the cue");
    CHECK(made.value("time_to_hold_s").value);
    made.cycles.cycles[0].offset = event(15.0, 0.1);
    CHECK(*made.value("time_to_hold_s").value < 0.1);  // the hold ends a second before its offset
}

TEST_CASE("a release to rest that scatters ends at two of its SDs, and is not told where those are half of the lift") {
    // Rest of 2 µV with a triangle of 1 µV to either side, 1 s each: half of the deviations are within 0.5 µV, so an SD is 0.7413.
    // From the relax cue on 1 s of straight fall.
    const auto released = [](double lift) {
        MadeSession made = made_session(1000, 30, [&](double t) {
            const double rest = 2.0 + (t < 10 ? 1.0 - 4.0 * std::abs(std::fmod(t, 1.0) - 0.5) : 0.0);
            return rest + (t >= 10 && t < 18 ? lift : t >= 18 && t < 19 ? lift * (19 - t) : 0.0);
        });
        add_cycle(made, made_cycle(10, 18, 30));
        made.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 8, 12, 1}};
        made.with_plan = true;
        return made.value("release_s");
    };
    CHECK(released(2.9).reason == "rest scatters by too much of the lift");
    for (const double lift : {3.0, 5.0, 14.0}) CHECK(*released(lift).value == doctest::Approx(1.0 - 2 * 0.7413 / lift).epsilon(0.005));
    CHECK(*released(30.0).value == doctest::Approx(0.9).epsilon(0.005));
}

TEST_CASE("whether the fall lay before the cue is not told from masked samples") {
    MadeSession made = made_session(1000, 30, [](double t) {
        return t >= 17.9 && t < 18 ? std::nan("") : t >= 10 && t < 17.9 ? 20.0 : 1.0;
    });
    add_cycle(made, made_cycle(10, 18, 30));
    CHECK_FALSE(made.value("release_s").value);
}

TEST_CASE("a release that never comes and one that comes too late are told apart") {
    MadeSession never = made_session(1000, 24, [](double t) { return t < 10 ? 1.0 : 20.0; });
    add_cycle(never, made_cycle(10, 18, 24));
    never.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 8, 6, 1}};
    never.with_plan = true;
    CHECK(never.value("release_s").reason == "not released in the rest");
    MadeSession late = made_session(1000, 24, [](double t) { return t < 10 || t >= 23.6 ? 1.0 : 20.0; });
    add_cycle(late, made_cycle(10, 18, 24));
    late.plan = never.plan;
    late.with_plan = true;
    CHECK(late.value("release_s").reason == "less than 0.5 s of rest remains after the release");
}

TEST_CASE("no rest means no release") {
    MadeSession made = exponential();
    made.cycles.cycles[0].rest = {18, 18};
    CHECK(made.value("release_s").reason == "no rest follows the contraction");
}

TEST_CASE("masked samples that could hide the moment take the time away and others do not") {
    MadeSession before = exponential();
    mask(before.envelope, 10.2, 10.35);
    CHECK(before.value("time_to_hold_s").reason == "masked samples hide the moment");
    MadeSession short_one = exponential();
    mask(short_one.envelope, 10.2, 10.25);
    CHECK(*short_one.value("time_to_hold_s").value == doctest::Approx(kTau * std::log(10.0)).epsilon(0.002));
    MadeSession after = exponential();
    mask(after.envelope, 12, 12.5);
    CHECK(after.value("time_to_hold_s").value);
    MadeSession falling = exponential();
    mask(falling.envelope, 18.5, 18.95);
    CHECK(falling.value("release_s").reason == "masked samples hide the moment");
}

TEST_CASE("no time is given where work hardly differs from rest") {
    const MadeSession flat = boxes(1000, 3.0, 3.0, {made_cycle(5, 10, 20)});
    for (const char* key : {"time_to_hold_s", "release_s", "stray_s"}) {
        CHECK(flat.value(key).reason == "work hardly differs from the rest before");
    }
}

TEST_CASE("reaction is onset less cue with the error of the onset") {
    MadeSession made = exponential();
    made.cycles.cycles[0].onset = event(10.25, 0.02);
    CHECK(*made.value("reaction_s").value == doctest::Approx(0.25));
    CHECK(*made.value("reaction_s").error == doctest::Approx(0.02));
    made.cycles.cycles[0].onset = event(9.9, 0.02);
    CHECK(*made.value("reaction_s").value == doctest::Approx(-0.1));
    made.cycles.cycles[0].onset->corrected = true;
    CHECK_FALSE(made.value("reaction_s").error);
    made.cycles.cycles[0].onset.reset();
    CHECK(made.value("reaction_s").reason == "onset not detectable");
}

TEST_CASE("nothing is held before an onset set by hand and nothing released before an offset set by hand") {
    MadeSession made = exponential();
    const Cycle& cycle = made.cycles.cycles[0];
    const double held_s = *made.value("time_to_hold_s").value, released_s = *made.value("release_s").value;
    made.cycles.cycles[0].onset = event(cycle.work.begin_s + held_s + 0.5, 0.0);
    made.cycles.cycles[0].offset = event(cycle.work.end_s + released_s + 0.5, 0.0);
    CHECK(*made.value("time_to_hold_s").value == doctest::Approx(held_s).epsilon(0.005));  // found, not set; H is of a later hold
    made.cycles.cycles[0].onset->corrected = made.cycles.cycles[0].offset->corrected = true;
    CHECK(*made.value("time_to_hold_s").value == doctest::Approx(held_s + 0.5).epsilon(0.005));
    CHECK(*made.value("release_s").value == doctest::Approx(released_s + 0.5).epsilon(0.005));
}

TEST_CASE("exported envelopes give times to a sample step") {
    MadeSession made = exponential(10);
    made.envelope.method = EnvelopeMethod::as_exported;
    made.clean.kind = ChannelKind::envelope;
    made.cycles.cycles[0].onset = event(10.234, 0.001);
    CHECK(*made.value("reaction_s").value == doctest::Approx(0.2));
    CHECK(*made.value("reaction_s").error == doctest::Approx(0.1 / std::sqrt(12.0)));
    const double hold = *made.value("time_to_hold_s").value * 10.0;
    CHECK(hold == doctest::Approx(std::round(hold)));
    CHECK(hold / 10.0 == doctest::Approx(kTau * std::log(10.0)).epsilon(0.1));
}

TEST_CASE("cue-relative times need true cues") {
    MadeSession made = exponential();
    made.cycles.cycles[0].onset = event(10.25, 0.02);
    for (const char* key : {"reaction_s", "time_to_hold_s", "release_s"}) {
        CAPTURE(std::string(key));
        made.cycles.from = CueSource::start;
        CHECK(made.value(key).value);
        made.cycles.from = CueSource::aligned;
        CHECK(made.value(key).reason == "cue times were estimated");
        made.cycles.from = CueSource::trace;
        CHECK(made.value(key).reason == "there are no cues");
        made.cycles.from = CueSource::marks;
        made.cycles.cycles[0].status = CycleStatus::extra;
        CHECK(made.value(key).reason == "nothing asked for this contraction");
        made.cycles.cycles[0].status = CycleStatus::done;
    }
    made.cycles.from = CueSource::aligned;
    CHECK(made.value("work_mean_uv").value);
    CHECK(made.value("fade_pct").value);
}
