// What cleaning makes of traces drawn by lot: each with one fault, often a second one, of strengths and lengths from
// far below to far above where it matters. None of it is a truth, that is what the other tests are for: it tells that a
// number, a mask or a finding has changed. Read the difference, then accept it.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <array>
#include <cctype>
#include <cmath>
#include <numbers>
#include <string>

#include "clean/frames.hpp"
#include "support/golden.hpp"
#include "support/lot.hpp"
#include "support/told_spans.hpp"
#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

using namespace tracehold;
using tracehold::test::Lot;

namespace {

constexpr double kTolerance = 2e-5;  // compilers and processors differ in the last digits of sums of floats
constexpr int kDrawsOfEach = 20;

// Beside those of the simulator.
enum class Oddity { none, tone, pulses, hiss, contact_noise, again, digits, rails, bent, holds, header };
constexpr std::array kOddities{"none",   "tone",  "pulses", "hiss",  "contact_noise", "again",
                               "digits", "rails", "bent",   "holds", "header"};

constexpr std::array kHeaders{"HP:10Hz LP:500Hz",     "HP:30Hz",  "LP:200Hz N:50Hz", "HP:DC",
                              "HP 24 Hz; LP 0.3 kHz", "notch=60", "N:50Hz HP:0.5Hz"};

Scenario drawn_scenario(Lot& lot) {
    Scenario s;
    s.seed = static_cast<std::uint64_t>(lot.whole(1, 1000000));
    s.rate_hz = lot.one_of(
        std::array{200.0, 250.0, 400.0, 500.0, 512.0, 1000.0, 1000.0, 1000.0, 1000.0, 1024.0, 1000.0, 2000.0, 2048.0});
    s.sensor_floor_uv = lot.by_factors(0.05, 2.0);
    s.plan.steps = {{StepKind::rest, lot.by_factors(2.0, 12.0), 0, 1},
                    {StepKind::hold, lot.by_factors(0.5, 8.0), lot.by_factors(1.0, 8.0), lot.whole(1, 4)},
                    {StepKind::rest, lot.by_factors(1.0, 24.0), 0, 1}};
    s.muscle.rest_uv = lot.by_factors(0.05, 6.0);
    s.muscle.rest_wander_pct = lot.chance(0.3) ? lot.between(5.0, 60.0) : 0.0;
    s.muscle.work_uv = s.muscle.rest_uv * lot.by_factors(1.5, 30.0);
    s.muscle.spectrum_low_hz = lot.between(30.0, 70.0);
    s.muscle.spectrum_high_hz = lot.between(75.0, 100.0);
    s.marks = false;
    return s;
}

Fault drawn_fault(Lot& lot, FaultKind kind, double length_s, double rest_uv) {
    Fault fault{.kind = kind, .strength_uv = rest_uv * lot.by_factors(0.3, 300.0)};
    if (kind == FaultKind::contact_flat) fault.strength_uv *= lot.chance(0.5) ? -1.0 : 1.0;
    if (kind == FaultKind::hum || kind == FaultKind::wobbling_hum || kind == FaultKind::contact_open)
        fault.hz = lot.one_of(std::array{50.0, 50.0, 60.0, 50.04, 49.93, 60.02});
    if (kind == FaultKind::heart_beats) fault.hz = lot.between(0.6, 2.6);
    if (kind == FaultKind::spikes) fault.hz = lot.by_factors(0.05, 8.0);
    const bool throughout = kind == FaultKind::heart_beats || kind == FaultKind::drift || lot.chance(0.3);
    if (throughout && kind != FaultKind::gap) return fault;
    fault.length_s = std::min(lot.by_factors(0.02, 30.0), 0.8 * length_s);
    fault.from_s = lot.between(0.0, length_s - fault.length_s);
    return fault;
}

void add(std::vector<float>& samples, Hertz rate, TimeSpan span, const auto& value_at) {
    const SampleRange range = samples_in(span, rate, samples.size());
    for (std::size_t i = range.begin; i < range.end; ++i) samples[i] += static_cast<float>(value_at(time_of(i, rate)));
}

void put_oddity(Lot& lot, Oddity oddity, Channel& channel, double rest_uv) {
    std::vector<float>& samples = channel.samples;
    const double length_s = time_of(samples.size(), channel.rate), size_uv = rest_uv * lot.by_factors(0.2, 40.0);
    const double lasts_s = length_s * lot.by_factors(0.05, 1.0), from_s = lot.between(0.0, length_s - lasts_s);
    const TimeSpan span{from_s, from_s + lasts_s};
    switch (oddity) {
        case Oddity::none: break;
        case Oddity::tone: {
            const double hz = lot.between(22.0, 0.45 * channel.rate.value);
            return add(samples, channel.rate, span,
                       [&](double t) { return size_uv * std::sin(2.0 * std::numbers::pi * hz * t); });
        }
        case Oddity::pulses: {
            const double hz = lot.by_factors(2.0, 60.0), width_s = lot.by_factors(0.0004, 0.004),
                         jitter = lot.by_factors(0.001, 0.3);
            for (double t = span.begin_s; t < span.end_s; t += (1.0 + jitter * lot.between(-1.0, 1.0)) / hz)
                add(samples, channel.rate, {t, t + width_s}, [&](double) { return 10.0 * size_uv; });
            break;
        }
        case Oddity::hiss:
            return add(samples, channel.rate, span, [&](double) { return size_uv * lot.between(-1.7, 1.7); });
        case Oddity::contact_noise: {
            const SampleRange range = samples_in(span, channel.rate, samples.size());
            for (std::size_t i = range.begin; i < range.end; ++i)
                samples[i] = static_cast<float>(size_uv * lot.between(-1.7, 1.7));
            break;
        }
        case Oddity::again: {
            const std::size_t part = samples_in({0.0, 0.5 * lasts_s}, channel.rate, samples.size()).end;
            std::copy_n(samples.begin(), part, samples.end() - static_cast<std::ptrdiff_t>(part));
            break;
        }
        case Oddity::digits: {
            const auto step = static_cast<float>(0.3 * size_uv);
            for (float& v : samples) v = step * std::round(v / step);
            if (lot.chance(0.5)) channel.step = step;
            break;
        }
        case Oddity::rails: {
            const float high = static_cast<float>(size_uv * lot.by_factors(1.0, 3.0)),
                        low = lot.chance(0.5) ? -high : -1e5F;
            for (float& v : samples) v = std::clamp(v, low, high);
            if (lot.chance(0.5)) channel.high_limit = high, channel.low_limit = low;
            break;
        }
        case Oddity::bent: {
            const double level = 2.0 * size_uv;
            for (float& v : samples) v = static_cast<float>(level * std::tanh(static_cast<double>(v) / level));
            break;
        }
        case Oddity::holds: {
            const double hz = lot.by_factors(0.1, 5.0), stop_s = lot.by_factors(0.01, 0.4);
            for (double t = span.begin_s; t < span.end_s; t += lot.between(0.5, 1.5) / hz) {
                const SampleRange range = samples_in({t, t + stop_s}, channel.rate, samples.size());
                if (!range.empty())
                    std::fill(samples.begin() + static_cast<std::ptrdiff_t>(range.begin),
                              samples.begin() + static_cast<std::ptrdiff_t>(range.end), samples[range.begin]);
            }
            break;
        }
        case Oddity::header: channel.prefilter = lot.one_of(kHeaders);
    }
}

CleanSettings drawn_settings(Lot& lot) {
    CleanSettings settings;
    if (lot.chance(0.3)) settings.high_pass = Hertz{lot.between(10.0, 40.0)};
    if (lot.chance(0.3)) settings.low_pass = Hertz{lot.between(90.0, 500.0)};
    if (lot.chance(0.2)) settings.order = lot.whole(1, 6);
    if (lot.chance(0.5))
        settings.mains =
            lot.one_of(std::array{MainsRemoval::off, MainsRemoval::automatic, MainsRemoval::hz50, MainsRemoval::hz60});
    if (lot.chance(0.2)) settings.mask = {{lot.between(0.0, 4.0), lot.between(4.0, 6.0)}};
    return settings;
}

// The numbers of its text, and where it lies.
std::string figures_of(const Finding& finding) {
    std::string text = " ";
    for (const char c : finding.text) {
        if (std::isdigit(static_cast<unsigned char>(c)) || (c == '.' && text.back() != ' '))
            text += c;
        else if (text.back() != ' ')
            text += ' ';
    }
    return text + tracehold::test::told(finding.spans);
}

std::string told(const CleanRecording& clean) {
    std::string text = fmt::format(" usable {} band {:.6g} {:.6g} bandwidth {:.6g} masked {:.4f}", clean.quality.usable,
                                   clean.low_hz, clean.high_hz, clean.bandwidth_hz, clean.quality.masked_s);
    if (const auto& hum = clean.quality.mains)
        text += fmt::format(" hum {} {:.6g} {:.6g} {}", hum->hz, hum->rms_uv, hum->share_of_power, hum->removed);
    text += "\n  rms";
    constexpr std::size_t kParts = 8;
    for (std::size_t part = 0; part < kParts; ++part) {
        const std::size_t begin = clean.uv.size() * part / kParts, end = clean.uv.size() * (part + 1) / kParts;
        text += fmt::format(" {:.6g}", std::sqrt(mean_power(std::span(clean.uv).subspan(begin, end - begin))));
    }
    text += "\n";
    for (const Finding& finding : clean.quality.findings)
        text += fmt::format("  {} {}{}\n", finding.code, to_string(finding.severity), figures_of(finding));
    return text;
}

std::string drawn_trace(std::uint64_t number, std::optional<FaultKind> kind, Oddity oddity, bool exported) {
    Lot lot(number);
    Scenario scenario = drawn_scenario(lot);
    const double length_s = plan_length(scenario.plan).value;
    if (exported) scenario.envelope_rate = Hertz{lot.one_of(std::array{5.0, 10.0, 20.0, 25.0, 50.0})};
    if (kind) scenario.faults.push_back(drawn_fault(lot, *kind, length_s, scenario.muscle.rest_uv));
    if (lot.chance(0.4))
        scenario.faults.push_back(drawn_fault(lot,
                                              static_cast<FaultKind>(lot.whole(0, static_cast<int>(FaultKind::gap))),
                                              length_s, scenario.muscle.rest_uv));
    Recording recording = simulate_recording(scenario).recording;
    put_oddity(lot, oddity, recording.channels[0], scenario.muscle.rest_uv);
    std::string text = fmt::format("{} {} Hz {:.1f} s", number, scenario.rate_hz, length_s);
    for (const Fault& fault : scenario.faults)
        text += fmt::format(" {} {:.3g}", to_string(fault.kind), fault.strength_uv);
    if (oddity != Oddity::none) text += fmt::format(" {}", kOddities[static_cast<std::size_t>(oddity)]);
    try {
        return text + told(clean_recording(recording, 0, drawn_settings(lot)));
    } catch (const std::exception& error) {
        return text + " " + error.what() + "\n";
    }
}

}  // namespace

TEST_CASE("traces drawn by lot are cleaned as in their golden file") {
    std::string text;
    std::uint64_t number = 0;
    for (int draw = 0; draw < kDrawsOfEach; ++draw) {
        for (int kind = 0; kind <= static_cast<int>(FaultKind::gap); ++kind)
            text += drawn_trace(++number, static_cast<FaultKind>(kind), Oddity::none, false);
        for (int oddity = 0; oddity <= static_cast<int>(Oddity::header); ++oddity)
            text += drawn_trace(++number, {}, static_cast<Oddity>(oddity), false);
        for (const Oddity oddity : {Oddity::none, Oddity::digits, Oddity::holds, Oddity::rails})
            text += drawn_trace(++number, {}, oddity, true);
    }
    CHECK_GOLDEN_NUMBERS("drawn_traces.txt", text, kTolerance);
}
