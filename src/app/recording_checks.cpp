#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "app/pipeline.hpp"
#include "app/self_checks.hpp"
#include "tracehold/exchange/write_recording.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

namespace tracehold {
namespace {

using Checks = std::vector<SelfCheck>;

constexpr const char* kTruth = "the simulation's own truth; tolerance: our choice, some five standard errors";

Scenario practice(std::uint64_t seed) {
    Scenario s;
    s.plan.posture = "lying";
    s.plan.steps = {{StepKind::rest, 12, 0, 1}, {StepKind::hold, 6, 6, 4}, {StepKind::rapid, 1, 4, 4}, {StepKind::rest, 6, 0, 1}};
    s.plan.contract_cues = default_contract_cues();
    s.plan.relax_cues = default_relax_cues();
    s.seed = seed;
    s.rate_hz = 1000.0;
    return s;
}

// Through a file's bytes, as a recording from outside comes.
Scored score_simulated(const Scenario& scenario, const Simulated& simulated, bool as_csv) {
    Assignment assignment;
    const std::string bytes = as_csv ? recording_csv(simulated.recording) : recording_edf(simulated.recording);
    add_recording(assignment, bytes, as_csv ? "practice.csv" : "practice.edf");
    assignment.plan = scenario.plan;
    return score_recording(std::move(assignment), {});
}

// The mean square of the true profile over a window, as an RMS.
double true_rms(const Truth& truth, TimeSpan window) {
    double sum = 0.0;
    std::size_t n = 0;
    for (std::size_t i = 0; i < truth.amplitude_uv.size(); ++i) {
        const double t = static_cast<double>(i) / truth.profile_rate_hz;
        if (t < window.begin_s || t >= window.end_s) continue;
        sum += double{truth.amplitude_uv[i]} * double{truth.amplitude_uv[i]};
        ++n;
    }
    return n > 0 ? std::sqrt(sum / static_cast<double>(n)) : std::nan("");
}

double mean_of(const std::vector<double>& values) {
    return values.empty() ? std::nan("") : std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

void check_cycles(Checks& checks, const char* name, const Truth& truth, const SessionScore& score) {
    const auto done = static_cast<double>(std::count_if(truth.contractions.begin(), truth.contractions.end(), [](const auto& c) { return c.performed; }));
    checks.push_back({fmt::format("{}.done", name), "contractions found", static_cast<double>(score.done), done, 0, "", kTruth});
    std::vector<double> onsets, offsets;
    for (std::size_t i = 0; i < score.cycles.size() && i < truth.contractions.size(); ++i) {
        const Cycle& cycle = score.cycles[i].cycle;
        if (cycle.onset) onsets.push_back(1000.0 * std::abs(cycle.onset->time_s - truth.contractions[i].onset_s));
        if (cycle.offset) offsets.push_back(1000.0 * std::abs(cycle.offset->time_s - truth.contractions[i].offset_s));
    }
    checks.push_back({fmt::format("{}.onset", name), "mean error of onsets without sign", mean_of(onsets), 0, 60, "ms", kTruth});
    checks.push_back({fmt::format("{}.offset", name), "mean error of offsets without sign", mean_of(offsets), 0, 60, "ms", kTruth});
}

void check_amplitude(Checks& checks, const char* name, const Truth& truth, const SessionScore& score) {
    const auto index = measure_index("work_mean_uv");
    std::vector<double> ratios;
    for (const ScoredCycle& scored : score.cycles) {
        const Cycle& cycle = scored.cycle;
        const bool held = cycle.kind == StepKind::hold && cycle.status == CycleStatus::done && index && scored.values[*index].value;
        if (held) ratios.push_back(*scored.values[*index].value / true_rms(truth, cycle.work));
    }
    checks.push_back({fmt::format("{}.work_mean", name), "work mean of holds over the true RMS", mean_of(ratios), 1.0, 0.06, "", kTruth});
}

void check_practice(Checks& checks, const char* name, const Scenario& scenario, bool as_csv) {
    const Simulated simulated = simulate_recording(scenario);
    const SessionScore score = score_simulated(scenario, simulated, as_csv).score;
    check_cycles(checks, name, simulated.truth, score);
    check_amplitude(checks, name, simulated.truth, score);
}

// A fault that forbids a score is named; codes are the findings'.
void check_refusal(Checks& checks) {
    Scenario scenario = practice(3);
    scenario.faults.push_back({FaultKind::contact_open, 160.0, 0.0, 0.0, 50.0});
    const SessionScore score = score_simulated(scenario, simulate_recording(scenario), false).score;
    const bool named = has_finding(score.quality, "reference_off");
    checks.push_back({"open_electrode.named", "an open electrode is named", named ? 1.0 : 0.0, 1, 0, "", kTruth});
    checks.push_back({"open_electrode.rejected", "and the recording is not scored", score.quality.usable ? 0.0 : 1.0, 1, 0, "", kTruth});
}

}  // namespace

std::vector<SelfCheck> recording_checks() {
    Checks checks;
    check_practice(checks, "edf", practice(1), false);
    check_practice(checks, "csv", practice(2), true);
    Scenario hum = practice(4);
    hum.faults.push_back({FaultKind::hum, 6.0, 0.0, 0.0, 50.0});
    check_practice(checks, "hum", hum, false);
    Scenario missed = practice(5);
    missed.missed = {2, 6};
    const Simulated simulated = simulate_recording(missed);
    check_cycles(checks, "missed", simulated.truth, score_simulated(missed, simulated, false).score);
    check_refusal(checks);
    return checks;
}

}  // namespace tracehold
