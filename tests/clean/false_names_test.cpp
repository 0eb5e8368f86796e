// No fault is taken for movement of an electrode or cable.
#include <doctest/doctest.h>

#include <limits>
#include <string>
#include <vector>

#include "clean/made_trace.hpp"
#include "tracehold/clean/clean_recording.hpp"
#include "tracehold/simulate/simulate_recording.hpp"

using namespace tracehold;
using namespace tracehold::testing;

namespace {

constexpr int kNamedSessions = 6;

// Holds of 15 µV at a rest of 2.4 µV, with a rise of 0.4 s.
Recording faulty_session(int number, const std::vector<Fault>& faults) {
    Scenario s = holds_with(70 + static_cast<std::uint64_t>(number), 6, 6, faults);
    s.muscle.rest_uv = 2.4;
    s.muscle.rise_s = 0.4;
    return simulate_recording(s).recording;
}

}  // namespace

TEST_CASE("clipping, large heart beats and an open electrode are named and no movement beside them") {
    struct Case {
        std::string code;
        std::vector<Fault> faults;
    };
    const std::vector<Case> cases{{"clipping", {{FaultKind::clipping, 10.0, 0, 0, 0}}},
                                  {"clipping", {{FaultKind::clipping, 25.0, 0, 0, 0}}},
                                  {"clipping", {{FaultKind::clipping, 20.0, 32.0, 6.0, 0}}},
                                  {"heart_beats", {{FaultKind::heart_beats, 120.0, 0, 0, 1.2}}},
                                  {"heart_beats", {{FaultKind::heart_beats, 60.0, 0, 0, 1.6}}},
                                  {"reference_off", {{FaultKind::contact_open, 60.0, 27.0, 2.5, 50}, {FaultKind::contact_open, 60.0, 50.0, 1.5, 50}}}};
    for (const Case& c : cases) {
        for (int number = 1; number <= kNamedSessions; ++number) {
            CAPTURE(c.code);
            CAPTURE(c.faults[0].strength_uv);
            CAPTURE(number);
            const CleanRecording clean = clean_recording(faulty_session(number, c.faults), 0);
            CHECK(find_finding(clean, c.code));
            CHECK_FALSE(find_finding(clean, "motion"));
        }
    }
}

TEST_CASE("samples that are missing here and there are no movement") {
    for (int number = 1; number <= kNamedSessions; ++number) {
        Recording recording = faulty_session(number, {});
        auto& samples = recording.channels[0].samples;
        std::uint32_t random = static_cast<std::uint32_t>(number);
        for (std::size_t i = 0; i < samples.size(); i += 20 + (random >> 16) % 200, random = random * 1664525U + 1013904223U)
            samples[i] = std::numeric_limits<float>::quiet_NaN();
        CAPTURE(number);
        const CleanRecording clean = clean_recording(recording, 0);
        CHECK(find_finding(clean, "missing"));
        CHECK_FALSE(find_finding(clean, "motion"));
    }
}
