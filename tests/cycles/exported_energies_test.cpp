// Onsets and offsets of exported amplitudes: simulated, with scatter, gaps and nothing at all; what is told of the window.
#include "cycles/exported_energies.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "cycles/made_session.hpp"
#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/cycles/place_contractions.hpp"
#include "tracehold/envelope/follow_envelope.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

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

std::vector<Placement> place(std::vector<float> uv, std::span<const TimeSpan> windows) {
    CleanRecording clean;
    clean.kind = ChannelKind::envelope;
    Envelope envelope;
    envelope.rate = kRate;
    envelope.uv = std::move(uv);
    return place_contractions(clean, envelope, windows);
}

// White noise of one level, its moving RMS of window_s at rate_hz.
std::vector<float> moving_rms_of_noise(double window_s, double rate_hz, std::uint64_t seed) {
    constexpr double kTrace_hz = 1000.0;
    Dice dice(seed);
    std::vector<double> sums{0.0};
    for (int i = 0; i < 120 * kTrace_hz; ++i) sums.push_back(sums.back() + std::pow(dice.normal(), 2.0));
    std::vector<float> uv;
    for (double t = window_s; t < 119.0; t += 1.0 / rate_hz) {
        const auto end = static_cast<std::size_t>(t * kTrace_hz), begin = static_cast<std::size_t>((t - window_s) * kTrace_hz);
        uv.push_back(static_cast<float>(std::sqrt((sums[end] - sums[begin]) / static_cast<double>(end - begin))));
    }
    return uv;
}

}  // namespace

TEST_CASE("the length of the recorder's window is told from how neighbouring values differ") {
    for (const double rate_hz : {10.0, 20.0, 50.0, 100.0}) {
        for (const double window_s : {0.1, 0.25, 0.5}) {
            CAPTURE(rate_hz);
            CAPTURE(window_s);
            const BlockEnergies e = exported_energies(moving_rms_of_noise(window_s, rate_hz, 7), Hertz{rate_hz});
            CHECK(e.hop_s * e.view.box == doctest::Approx(window_s).epsilon(0.25));
            CHECK(e.hop_s * e.view.slope == doctest::Approx(std::max(0.01, 1.0 / rate_hz)));
            // Noise of 1 kHz has 10 degrees a block of 10 ms; as many are told, up to the 9 of a trace.
            CHECK(e.degrees > 5.0);
            CHECK(e.degrees <= 9.0);
        }
    }
}

TEST_CASE("onsets and offsets of simulated exported amplitudes are placed, and their intervals hold them") {
    for (const double work_uv : {6.0, 20.0}) {
        for (const double rate_hz : {10.0, 25.0, 100.0}) {
            CAPTURE(work_uv);
            CAPTURE(rate_hz);
            int events = 0, held = 0, without = 0;
            double onset_error = 0.0, offset_error = 0.0, size = 0.0;
            for (std::uint64_t seed = 1; seed <= 6; ++seed) {
                Scenario scenario;
                scenario.seed = seed;
                scenario.rate_hz = 1000.0;
                scenario.envelope_rate = Hertz{rate_hz};
                scenario.plan = plan_of({{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 8, 10}});
                scenario.muscle.rest_uv = 2.5;
                scenario.muscle.work_uv = work_uv;
                const Simulated simulated = simulate_recording(scenario);
                const CleanRecording clean = clean_recording(simulated.recording, 0);
                std::vector<TimeSpan> windows;
                for (const TrueContraction& c : simulated.truth.contractions) windows.push_back(c.work);
                const std::vector<Placement> placed = place_contractions(clean, follow_envelope(clean), windows);
                for (std::size_t i = 0; i < placed.size(); ++i) {
                    const TrueContraction& truth = simulated.truth.contractions[i];
                    without += !placed[i].onset || !placed[i].offset;
                    if (!placed[i].onset || !placed[i].offset) continue;
                    const EventTime& on = *placed[i].onset;
                    const EventTime& off = *placed[i].offset;
                    onset_error += on.time_s - truth.onset_s;
                    offset_error += off.time_s - truth.offset_s;
                    size += std::abs(on.time_s - truth.onset_s) + std::abs(off.time_s - truth.offset_s);
                    held += on.low_s <= truth.onset_s && truth.onset_s <= on.high_s;
                    held += off.low_s <= truth.offset_s && truth.offset_s <= off.high_s;
                    events += 2;
                }
            }
            MESSAGE(events << " events, held " << held << ", without a time " << without << ", mean error of onsets "
                           << 2 * onset_error / events << " s, of offsets " << 2 * offset_error / events << " s, mean size "
                           << size / events << " s");
            CHECK(without <= 2);
            CHECK(held >= 0.93 * events);
            // Rises here are raised cosines of 0.4 s, whose beginning lies below the rest where they are weak.
            const double most = work_uv < 10.0 ? 0.1 : 0.05;
            CHECK(std::abs(2 * onset_error / events) < most);
            CHECK(std::abs(2 * offset_error / events) < most);
            CHECK(size / events < most);
        }
    }
}

TEST_CASE("an artefact that is taken for a contraction does not move the others") {
    int held = 0, events = 0;
    for (std::uint64_t seed = 1; seed <= 5; ++seed) {
        Scenario scenario;
        scenario.seed = seed;
        scenario.rate_hz = 1000.0;
        scenario.envelope_rate = Hertz{5.0};
        scenario.plan = plan_of({{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 10, 8}});
        scenario.muscle.rest_uv = 2.5;
        scenario.muscle.work_uv = 15.0;
        scenario.faults = {{FaultKind::hum, 20.0, 17.0, 4.0, 50.0}};  // within the first rest
        const Simulated simulated = simulate_recording(scenario);
        const CleanRecording clean = clean_recording(simulated.recording, 0);
        std::vector<TimeSpan> windows;
        for (const TrueContraction& c : simulated.truth.contractions) windows.push_back(c.work);
        windows.insert(windows.begin() + 1, {17.0, 21.0});
        const std::vector<Placement> placed = place_contractions(clean, follow_envelope(clean), windows);
        for (std::size_t i = 2; i < placed.size(); ++i) {
            const TrueContraction& truth = simulated.truth.contractions[i - 1];
            REQUIRE(placed[i].onset);
            REQUIRE(placed[i].offset);
            held += placed[i].onset->low_s <= truth.onset_s && truth.onset_s <= placed[i].onset->high_s;
            held += placed[i].offset->low_s <= truth.offset_s && truth.offset_s <= placed[i].offset->high_s;
            events += 2;
        }
    }
    CHECK(held >= 0.93 * events);
}

TEST_CASE("a step without scatter is placed between its two samples") {
    const auto placed = place(scattered(0.0, 1), kWindows);
    REQUIRE(placed.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        REQUIRE(placed[i].onset);
        REQUIRE(placed[i].offset);
        CHECK(placed[i].detected);
        const double before_onset = kWindows[i].begin_s + 0.25, before_offset = kWindows[i].end_s + 0.25, step = 0.05;
        CHECK(placed[i].onset->time_s > before_onset);
        CHECK(placed[i].onset->time_s < before_onset + step);
        CHECK(placed[i].offset->time_s > before_offset);
        CHECK(placed[i].offset->time_s < before_offset + step);
        CHECK(placed[i].onset_reason.empty());
    }
}

TEST_CASE("with scatter the interval lies about the time and holds the truth") {
    int held = 0;
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        for (const Placement& p : place(scattered(0.5, seed), kWindows)) {
            REQUIRE(p.onset);
            REQUIRE(p.offset);
            for (const EventTime& event : {*p.onset, *p.offset}) {
                CHECK(event.low_s <= event.time_s);
                CHECK(event.time_s <= event.high_s);
                CHECK(event.error_s >= 0.05);
            }
        }
        const auto placed = place(scattered(0.5, seed), kWindows);
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
    const auto once = place(uv, kWindows);
    for (float& e : uv) e *= 8.0F;
    const auto more = place(uv, kWindows);
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK(more[i].onset->time_s == doctest::Approx(once[i].onset->time_s).epsilon(1e-5));
        CHECK(more[i].offset->time_s == doctest::Approx(once[i].offset->time_s).epsilon(1e-5));
    }
}

TEST_CASE("masked samples are passed over and the steps around them still placed") {
    std::vector<float> uv = scattered(0.0, 1);
    for (std::size_t i = 0; i < uv.size(); i += 7) uv[i] = kMasked;
    const auto placed = place(uv, kWindows);
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
        for (const Placement& p : place(std::vector<float>(1200, level), kWindows)) {
            CHECK_FALSE(p.detected);
            CHECK_FALSE(p.onset);
            CHECK_FALSE(p.offset);
            CHECK_FALSE(p.onset_reason.empty());
            CHECK_FALSE(p.offset_reason.empty());
        }
    }
    CHECK(place({}, kWindows).size() == 3);
    CHECK(place(scattered(0.0, 1), {}).empty());
}

TEST_CASE("a contraction that goes on to the end of what is searched has no offset") {
    std::vector<float> uv = scattered(0.0, 1);
    uv.resize(44 * 20);  // the recording ends within the last contraction
    const auto placed = place(uv, kWindows);
    CHECK(placed[2].detected);
    CHECK(placed[2].onset);
    CHECK_FALSE(placed[2].offset);
    CHECK(placed[2].offset_reason == "offset too close to the neighbouring contraction or to the end of the recording");
}
