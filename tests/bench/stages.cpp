// The cost of each stage on the recordings that scripts/bench makes: one.edf and one.csv (5 min at 2 kHz) and plan.jsonc in
// the folder that TRACEHOLD_BENCH names. Items are samples.
#include <benchmark/benchmark.h>

#include <cstdlib>
#include <optional>
#include <string>

#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/clean/welch.hpp"
#include "tracehold/clean/zero_phase.hpp"
#include "tracehold/cycles/find_cycles.hpp"
#include "tracehold/envelope/follow_envelope.hpp"
#include "tracehold/measures/score_session.hpp"
#include "tracehold/plan/read_plan.hpp"
#include "tracehold/read/read_recording.hpp"

namespace {

using namespace tracehold;

std::string bytes_of(const char* name) {
    const char* folder = std::getenv("TRACEHOLD_BENCH");
    return read_bytes(std::string(folder != nullptr ? folder : ".") + "/" + name);
}

// What each stage works on, made by the ones before.
struct Made {
    std::string edf = bytes_of("one.edf"), csv = bytes_of("one.csv");
    Plan plan = read_plan(bytes_of("plan.jsonc"), "plan.jsonc");
    Recording recording = read_recording(edf, "one.edf");
    CleanRecording clean = clean_recording(recording, 0);
    Envelope envelope = follow_envelope(clean);
    Cycles cycles = find();

    Cycles find() const {
        return find_cycles({.clean = clean, .envelope = envelope, .marks = recording.marks, .plan = &plan, .corrections = {}});
    }
    SessionScore score() const {
        return score_session({.recording = {}, .notes = {}, .clean = clean, .envelope = envelope, .cycles = cycles, .plan = &plan,
                              .accessory = nullptr, .corrections = {}, .settings = {}});
    }
    std::size_t samples() const { return clean.uv.size(); }
};

const Made& made() {
    static const Made all;
    return all;
}

template <class Stage>
void run(benchmark::State& state, Stage stage) {
    const Made& m = made();
    for (auto _ : state) {
        auto result = stage(m);
        benchmark::DoNotOptimize(result);
    }
    state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(m.samples()));
}

std::vector<float> filtered(const Made& m) {
    std::vector<float> uv = m.recording.channels[0].samples;
    static const auto sections = [] {
        auto both = butterworth_high_pass(4, Hertz{20.0}, Hertz{2000.0});
        for (const FilterSection& section : butterworth_low_pass(4, Hertz{450.0}, Hertz{2000.0})) both.push_back(section);
        return both;
    }();
    run_zero_phase(sections, uv);
    return uv;
}

#define STAGE(name, call) \
    void name(benchmark::State& state) { run(state, [](const Made& m) { return call; }); } \
    BENCHMARK(name)->Unit(benchmark::kMillisecond)

STAGE(read_edf_bytes, read_recording(m.edf, "one.edf"));
STAGE(read_csv_bytes, read_recording(m.csv, "one.csv"));
STAGE(band_pass_both_ways, filtered(m));
STAGE(spectrum_half_seconds, welch_spectrum(m.clean.uv, m.clean.rate, 1000));
STAGE(spectrum_eighths, welch_spectrum(m.clean.uv, m.clean.rate, 250));
STAGE(moving_rms_100_ms, moving_rms(m.clean.uv, 199));
STAGE(clean_whole, clean_recording(m.recording, 0));
STAGE(envelope_whole, follow_envelope(m.clean));
STAGE(cycles_whole, m.find());
STAGE(score_whole, m.score());

}  // namespace

BENCHMARK_MAIN();
