// What no muscle gives: tones, pulses, amplitudes out of range, rest finer than the digits. How often it is seen at the
// strength where it matters, and that clean sessions and real recordings are left alone.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <functional>
#include <numbers>

#include "clean/found.hpp"
#include "clean/made_trace.hpp"
#include "clean/repeating.hpp"
#include "support/shaped_noise.hpp"
#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/read/read_recording.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

using namespace tracehold;
using namespace tracehold::testing;
using doctest::Approx;

namespace {

const std::string kCodes[] = {"repeating", "too_large", "too_small", "rest_unreadable"};

// People of different strength (4 to 36 uV), rest (0.8 to 3.2 uV) and spectrum, at different rates.
Scenario varied_session(int number) {
    Scenario s;
    s.seed = static_cast<std::uint64_t>(number);
    s.rate_hz = number % 10 == 0 ? 2000.0 : number % 10 == 1 ? 500.0 : 1000.0;
    s.plan.posture = "lying";
    s.plan.steps = {{StepKind::rest, 8, 0, 1}, {StepKind::hold, 4, 5, 5}, {StepKind::rapid, 1, 4, 3}};
    s.muscle.rest_uv = 0.8 + 0.8 * (number % 4);
    s.muscle.work_uv = 4.0 + 8.0 * (number % 5);
    s.muscle.fade_pct_per_s = number % 3;
    s.muscle.spectrum_low_hz = 40.0 + 10.0 * (number % 5);
    s.muscle.spectrum_high_hz = 90.0 + 20.0 * (number % 4);
    return s;
}

// Only what this file is about.
std::string found_in(const Recording& recording, std::size_t channel = 0) {
    std::string text;
    for (const Finding& finding : clean_recording(recording, channel).quality.findings) {
        for (const std::string& code : kCodes) {
            if (finding.code == code) text += fmt::format("{} {} ", to_string(finding.severity), code);
        }
    }
    return text;
}

// added(t) in the true contractions alone, or throughout.
Recording with(const Simulated& made, bool in_work, const std::function<double(double)>& added) {
    Recording recording = made.recording;
    Channel& channel = recording.channels[0];
    for (std::size_t i = 0; i < channel.samples.size(); ++i) {
        const double t = time_of(i, channel.rate);
        bool inside = !in_work;
        for (const TrueContraction& c : made.truth.contractions) inside = inside || (t >= c.onset_s && t < c.offset_s);
        if (inside) channel.samples[i] += static_cast<float>(added(t));
    }
    return recording;
}

int seen_in(int sessions, bool in_work, const std::string& expected, double muscle,
            const std::function<double(double)>& added) {
    int seen = 0;
    for (int i = 1; i <= sessions; ++i) {
        Scenario scenario = varied_session(i);
        scenario.muscle.work_uv *= muscle;
        scenario.rate_hz = 1000.0;
        const std::string found = found_in(with(simulate_recording(scenario), in_work, added));
        seen += found.find(expected) != std::string::npos;
    }
    return seen;
}

std::function<double(double)> tone(double hz, double rms_uv) {
    return [=](double t) { return rms_uv * std::numbers::sqrt2 * std::sin(kTurn * hz * t); };
}

std::function<double(double)> pulses(double hz, double width_s, double height_uv) {
    return [=](double t) { return std::fmod(t, 1.0 / hz) < width_s ? height_uv : 0.0; };
}

}  // namespace

TEST_CASE("the share that repeats is that of the tone in noise") {
    // Closed form: a tone of power a^2 / 2 beside noise of power b^2 repeats with a share of a^2 / 2 / (a^2 / 2 + b^2).
    for (const double hz : {33.0, 80.0, 130.5, 271.3, 440.0}) {
        auto uv = muscle_noise(120000, 1000.0, 7, 5.0);
        for (std::size_t i = 0; i < uv.size(); ++i)
            uv[i] += static_cast<float>(5.0 * std::sin(kTurn * hz * static_cast<double>(i) / 1000.0));
        const Repeating found = find_repeating(uv, Hertz{1000.0}, Hertz{20.0}, Hertz{450.0}).all;
        CAPTURE(hz);
        CHECK(found.share == Approx(12.5 / 37.5).epsilon(0.08));
        CHECK(found.hz == Approx(hz).epsilon(0.02));
    }
    CHECK(find_repeating(std::vector<float>(60000, 0.0F), Hertz{1000.0}, Hertz{20.0}, Hertz{450.0}).all.share == 0.0);
}

TEST_CASE("nothing is found in 200 clean sessions") {
    int alarms = 0;
    for (int i = 1; i <= 200; ++i) {
        const std::string found = found_in(simulate_recording(varied_session(i)).recording);
        if (!found.empty()) MESSAGE(i << ": " << found);
        alarms += !found.empty();
    }
    CHECK(alarms == 0);
}

TEST_CASE("tones and pulses in the contractions alone are seen") {
    // With muscle beneath: a caution from a share that lifts the amplitude by a tenth.
    for (const double hz : {35.0, 80.0, 130.0, 333.3}) {
        CAPTURE(hz);
        CHECK(seen_in(20, true, "repeating", 1.0, tone(hz, 25.0)) == 20);
        CHECK(seen_in(20, true, "reject repeating", 0.05, tone(hz, 15.0)) == 20);
        CHECK(seen_in(20, false, "repeating", 1.0, tone(hz, 2.0)) == 20);  // beside 0.8 to 3.2 uV of rest
    }
    for (const double hz : {35.0, 80.0}) {
        for (const double width_s : {0.0005, 0.001, 0.003}) {
            CAPTURE(hz);
            CAPTURE(width_s);
            CHECK(seen_in(10, true, "reject repeating", 0.05, pulses(hz, width_s, 60.0)) >= 9);
        }
    }
}

TEST_CASE("spikes at random are no pulses of a stimulator") {
    Scenario s = varied_session(3);
    s.faults = {{FaultKind::spikes, 400.0, 0.0, 0.0, 3.0}};
    CHECK(found_in(simulate_recording(s).recording) == "");
}

TEST_CASE("pulses at the mains frequency in the contractions alone cast doubt and steady hum is not taken for them") {
    const auto doubted = [](const Recording& recording, const std::string& text) {
        bool found = false;
        for (const Finding& finding : clean_recording(recording, 0).quality.findings) {
            const bool of_lines =
                finding.code == "mains" || finding.code == "reference_off" || finding.code == "repeating";
            found = found ||
                    (of_lines && finding.severity != Severity::note && finding.text.find(text) != std::string::npos);
        }
        return found;
    };
    int named = 0;
    for (int i = 1; i <= 10; ++i) {
        Scenario s = varied_session(i);
        s.rate_hz = 1000.0;
        s.muscle.work_uv = 1.0;
        const Simulated made = simulate_recording(s);
        const Recording pulsed = with(made, true, pulses(50.0, 0.003, 30.0));
        CHECK(doubted(pulsed, ""));
        CHECK(doubted(with(made, true, pulses(50.0, 0.003, 60.0)), ""));
        named += doubted(pulsed, "not there throughout");
        CHECK(!doubted(with(made, false, tone(50.0, 6.0)), "not there throughout"));
    }
    CHECK(named >= 5);  // not beside a rest of more than half the hum
}

TEST_CASE("an amplitude that no electrode gives is refused, of raw traces and of exported amplitudes") {
    Scenario s = varied_session(4);
    for (const bool exported : {false, true}) {
        if (exported) s.envelope_rate = Hertz{20.0};
        Recording recording = simulate_recording(s).recording;
        CAPTURE(exported);
        CHECK(found_in(recording) == "");
        auto scaled = [&](double factor) {
            Recording out = recording;
            for (float& v : out.channels[0].samples) v = static_cast<float>(v * factor);
            return found_in(out);
        };
        CHECK(scaled(1000.0).find("reject too_large") != std::string::npos);
        CHECK(scaled(20.0) == "");
        CHECK(scaled(0.001).find("reject too_small") != std::string::npos);
        CHECK(scaled(0.3).find("too_") == std::string::npos);
    }
}

TEST_CASE("a trace of hum alone is refused") {
    Simulated made = simulate_recording(varied_session(3));
    for (float& v : made.recording.channels[0].samples) v = 0.0F;
    const Recording hum =
        with(made, false, [](double t) { return std::round(50e3 * std::sin(kTurn * 50.0 * t)) / 1e3; });
    CHECK(!clean_recording(hum, 0).quality.usable);
}

TEST_CASE("no resting level is read where digits are coarser than rest") {
    Recording recording = simulate_recording(varied_session(3)).recording;  // rest 3.2 uV
    const auto rounded_to = [&](double step) {
        Recording out = recording;
        for (float& v : out.channels[0].samples) v = static_cast<float>(step * std::round(v / step));
        return found_in(out);
    };
    CHECK(rounded_to(10.0).find("caution rest_unreadable") != std::string::npos);
    CHECK(rounded_to(5.0) == "");  // more than half a digit: rounding adds a fifth of the power, as 'quantised' says
    CHECK(rounded_to(0.5) == "");
}

TEST_CASE("open recordings are left alone") {
    const char* folder = std::getenv("TRACEHOLD_OPEN_RECORDINGS");
    if (!folder) {
        MESSAGE("skipped: no open recordings");
        return;
    }
    ReadSettings settings;
    settings.rate = Hertz{1000.0};
    for (const char* file :
         {"bsnb_emg_bursts.csv", "bsnb_emg_fatigue.csv", "bsnb_emg_1000_hz_16_bits_solo.csv", "uci_10Nsen.txt",
          "uci_4Apie.txt", "uci_4Npie.txt", "uci_5Apie.txt", "uci_6Asen.txt", "uci_8Nsen.txt"}) {
        const Recording recording = read_recording(read_bytes(std::string(folder) + "/emg/" + file), file, settings);
        for (std::size_t c = 0; c < recording.channels.size(); ++c) {
            if (recording.channels[c].kind == ChannelKind::other) continue;
            CAPTURE(file);
            CAPTURE(c);
            CHECK(found_in(recording, c) == "");
        }
    }
}

// Sessions with mains of so many times the resting level, in the contractions alone or throughout, whose mains rejects.
int rejected_for_mains(double times_rest, bool in_work, double muscle) {
    int rejected = 0;
    for (int i = 1; i <= 10; ++i) {
        Scenario scenario = varied_session(i);
        scenario.rate_hz = 1000.0;
        if (muscle > 0.0 && scenario.muscle.work_uv * muscle < 1.4 * scenario.muscle.rest_uv) continue;  // hardly stands out
        const Simulated made = [&] {
            Scenario changed = scenario;
            changed.muscle.work_uv *= muscle;
            return simulate_recording(changed);
        }();
        const Recording recording = with(made, in_work, tone(50.03, times_rest * scenario.muscle.rest_uv));
        for (const Finding& finding : clean_recording(recording, 0).quality.findings)
            rejected += finding.code == "mains" && finding.severity == Severity::reject;
    }
    return rejected;
}

TEST_CASE("mains that comes with the contractions and has nothing beneath it rejects and never where muscle shows") {
    for (const double times_rest : {2.5, 4.0, 6.0}) {
        CAPTURE(times_rest);
        CHECK(rejected_for_mains(times_rest, true, 0.0) >= 9);
        CHECK(rejected_for_mains(times_rest, false, 0.0) == 0);  // steady: rest is read under it
        for (const bool in_work : {false, true}) {
            CHECK(rejected_for_mains(times_rest, in_work, 1.0) == 0);
            CHECK(rejected_for_mains(times_rest, in_work, 0.5) == 0);
        }
    }
}

TEST_CASE("a tone that wanders through the contractions is told from muscle") {
    auto uv = muscle_noise(60000, 1000.0, 11, 10.0);
    const auto share = [](std::span<const float> trace, double loud_uv) {
        return share_of_one_line(loud_ones(look_at_half_seconds(trace, Hertz{1000.0}, Hertz{450.0}), loud_uv));
    };
    const double muscle = share(uv, 10.0);
    CHECK(muscle > 0.05);
    CHECK(muscle < 0.3);
    for (std::size_t i = 0; i < uv.size(); ++i) {
        const double t = static_cast<double>(i) / 1000.0;  // from 60 Hz, 4 Hz higher each second
        uv[i] = 0.1F * uv[i] + static_cast<float>(10.0 * std::numbers::sqrt2 * std::sin(kTurn * (60.0 + 2.0 * t) * t));
    }
    CHECK(share(uv, 10.0) > 0.9);
    CHECK(share(uv, 30.0) == 0.0);
    CHECK(share(std::span(uv).first(4900), 10.0) == 0.0);  // nine halves
    CHECK(share({}, 10.0) == 0.0);
    Found found;
    found.one_line = 0.6;
    const auto told = [&found] {
        for (const Finding& finding : put_into_words(Channel{}, found, {})) {
            if (finding.code == "repeating") return finding.text;
        }
        return std::string();
    };
    CHECK(told().starts_with("a single line, though it wanders, carries 60 % of the power of the loud parts"));
    found.one_line = 0.59;
    CHECK(told().empty());
    found.one_line = 0.95;
    found.repeating = {0.3, 0.25, 83.0};  // said once
    CHECK(told().find("wanders") == std::string::npos);
}

TEST_CASE("pulses at one interval are a train and others are not") {
    const auto train = [](const std::vector<std::size_t>& gaps) {
        Ranges pulses{{100, 103}};
        for (const std::size_t gap : gaps) pulses.push_back({pulses.back().begin + gap, pulses.back().begin + gap + 3});
        return find_pulse_train(pulses, Hertz{1000.0});
    };
    const PulseTrain twenty = train(std::vector<std::size_t>(20, 100));
    CHECK(twenty.hz == doctest::Approx(10.0));
    CHECK(twenty.seconds == doctest::Approx(2.0));
    CHECK(train(std::vector<std::size_t>(19, 100)).hz == 0.0);  // too few to say
    // Half of the gaps at the usual one are enough, a twentieth and two samples off still are at it.
    std::vector<std::size_t> gaps(10, 100);
    for (std::size_t i = 0; i < 5; ++i) gaps.push_back(20), gaps.push_back(500);
    CHECK(train(gaps).hz == doctest::Approx(10.0));
    CHECK(train(gaps).seconds == doctest::Approx(1.0));
    gaps[0] = 107;
    CHECK(train(gaps).hz == doctest::Approx(10.0));
    gaps[0] = 108;
    CHECK(train(gaps).hz == 0.0);
}
