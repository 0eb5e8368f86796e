// Electrodes that are off for a while under hum of any height, beside hum under which muscle is seen.
#include <doctest/doctest.h>

#include <algorithm>
#include <string_view>

#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

using namespace tracehold;

namespace {

constexpr int kHumSessions = 8;
constexpr double kFrom_s = 30.0, kLength_s = 20.0;

// Rest of 2.4 µV, contractions of 15 µV; two of the eight fall into the stretch with the fault.
Scenario session_with(int number, std::vector<Fault> faults) {
    Scenario s;
    s.seed = 40 + static_cast<std::uint64_t>(number);
    s.rate_hz = number % 3 == 0 ? 500.0 : number % 3 == 1 ? 1000.0 : 2000.0;
    s.plan.posture = "lying";
    s.plan.steps = {{StepKind::rest, 10, 0, 1}, {StepKind::hold, 5, 6, 8}};
    s.muscle.rest_uv = 2.4;
    s.muscle.rest_wander_pct = 10.0;
    s.muscle.work_uv = 15.0;
    s.faults = std::move(faults);
    return s;
}

const Finding* reference_off(const CleanRecording& clean) {
    const auto& findings = clean.quality.findings;
    const auto found =
        std::find_if(findings.begin(), findings.end(), [](const Finding& f) { return f.code == "reference_off"; });
    return found == findings.end() ? nullptr : &*found;
}

int hum_seen_in(const std::vector<Fault>& faults) {
    int seen = 0;
    for (int number = 1; number <= kHumSessions; ++number)
        seen += reference_off(clean_recording(simulate_recording(session_with(number, faults)).recording, 0)) != nullptr;
    return seen;
}

}  // namespace

TEST_CASE("an electrode that is off under moderate hum is masked from where it goes off to where it is on again") {
    for (const double hum_uv : {3.0, 6.0, 10.0, 14.0}) {
        CAPTURE(hum_uv);
        for (int number = 1; number <= kHumSessions; ++number) {
            const Scenario s = session_with(number, {{FaultKind::contact_open, hum_uv, kFrom_s, kLength_s, 50}});
            const CleanRecording clean = clean_recording(simulate_recording(s).recording, 0);
            const Finding* finding = reference_off(clean);
            REQUIRE(finding != nullptr);
            CHECK(finding->severity == Severity::caution);
            REQUIRE(finding->spans.size() == 1);
            CHECK(finding->spans[0].begin_s <= kFrom_s);
            CHECK(finding->spans[0].begin_s > kFrom_s - 1.0);
            CHECK(finding->spans[0].end_s >= kFrom_s + kLength_s);
            CHECK(finding->spans[0].end_s < kFrom_s + kLength_s + 1.0);
        }
    }
}

TEST_CASE("hum under which the muscle is seen is no open electrode however it comes and goes") {
    for (const double hum_uv : {3.0, 6.0, 12.0}) {
        CAPTURE(hum_uv);
        CHECK(hum_seen_in({{FaultKind::hum, hum_uv, 0, 0, 50}}) == 0);
        CHECK(hum_seen_in({{FaultKind::wobbling_hum, hum_uv, 0, 0, 50}}) == 0);
        CHECK(hum_seen_in({{FaultKind::hum, hum_uv, kFrom_s, kLength_s, 50}}) == 0);
        CHECK(hum_seen_in({{FaultKind::hum, hum_uv, 27.0, 4.0, 50}}) == 0);  // rest alone
    }
}

TEST_CASE("what was never recorded is told with its spans and a caution where it is much") {
    const auto missing_in = [](double length_s) {
        const Scenario s = session_with(1, {{FaultKind::gap, 0.0, kFrom_s, length_s, 0}});
        const CleanRecording clean = clean_recording(simulate_recording(s).recording, 0);
        for (const Finding& finding : clean.quality.findings)
            if (finding.code == "missing") return finding;
        return Finding{};
    };
    CHECK(missing_in(2.0).severity == Severity::note);
    CHECK(missing_in(2.0).text == "nothing was recorded in 1 place, 2.0 s together; left out");
    CHECK(missing_in(2.0).spans == std::vector<TimeSpan>{{30.0, 32.0}});
    CHECK(missing_in(0.2).text == "nothing was recorded in 1 place, 0.200 s together; left out");
    CHECK(missing_in(6.0).severity == Severity::caution);  // of 98 s
}

TEST_CASE("an electrode that goes off before the middle takes what follows and leaves what was before") {
    constexpr double kOff_s = 40.0;  // of 98 s
    for (const double hum_uv : {20.0, 60.0, 200.0}) {
        CAPTURE(hum_uv);
        for (int number = 1; number <= 3; ++number) {
            const Scenario s = session_with(number, {{FaultKind::contact_open, hum_uv, kOff_s, 0, 50}});
            const CleanRecording clean = clean_recording(simulate_recording(s).recording, 0);
            CHECK(clean.quality.usable);
            const auto valid_share = [&](double from_s, double to_s) {
                const SampleRange range = samples_in({from_s, to_s}, clean.rate, clean.uv.size());
                const auto begin = clean.uv.begin() + static_cast<std::ptrdiff_t>(range.begin);
                const auto valid = std::count_if(begin, begin + static_cast<std::ptrdiff_t>(range.size()), [](float v) { return v == v; });
                return static_cast<double>(valid) / static_cast<double>(range.size());
            };
            CHECK(valid_share(0.0, kOff_s - 2.0) > 0.99);
            CHECK(valid_share(kOff_s + 0.5, 98.0) < (hum_uv > 50.0 ? 0.02 : 0.1));
        }
    }
}
