#pragma once
// What a measure of one cycle looks at, prepared once per cycle.
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "tracehold/clean/clean.hpp"
#include "tracehold/core/estimate.hpp"
#include "tracehold/cycles/cycles.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/plan/plan.hpp"

namespace tracehold {

// What is valid of a stretch of the envelope. Always true: reason is empty exactly if the window may be used; then there is at
// least one valid sample.
// Samples that should be there but lie before the start or behind the end of the recording count as missing.
struct Window {
    SampleRange samples;  // of the envelope
    std::size_t valid = 0;
    double valid_s = 0.0;
    double mean = 0.0;  // of the valid samples
    double mean_square = 0.0;
    std::string reason;
};

// e(t): the envelope; w0, w1, w2: contract cue, relax cue, end of rest; lead = min(1 s, (w1-w0)/3), settle = min(1 s,
// (w2-w1)/3). The references must outlive the view.
struct CycleView {
    const CleanRecording& clean;
    const Envelope& envelope;
    const Cycle& cycle;
    CueSource cues = CueSource::marks;
    bool cues_in_step = true;  // false: contractions do not follow them, so they tell neither work nor rest nor a time
    double lead_s = 0.0;
    double settle_s = 0.0;
    TimeSpan work{};         // [w0, w1); of a rapid contraction as long, but from its onset on, where that was found
    TimeSpan hold{};         // work without the first lead after the onset and the last lead before the offset; empty if begun too late
    TimeSpan rest{};         // [w1 + settle, w2)
    Window of_work{}, of_hold{}, of_rest{};  // the envelope in those
    TimeSpan rest_before{};  // where the rest level was taken; empty if nowhere
    Estimate rest_level{};   // L0: median e of rest_before
    Estimate hold_level{};   // H: median e over the hold
    // Equivalent statistical bandwidths behind all standard errors, Hz; empty where they cannot be told: then no
    // errors.
    std::optional<double> work_bandwidth_hz{};
    std::optional<double> rest_bandwidth_hz{};
    std::optional<double> threshold_uv{};
    std::string threshold_reason{};             // set where threshold_uv is empty
    const Envelope* accessory = nullptr;        // of the first accessory channel, same recording
    const char* no_accessory = "no accessory channel";
    std::optional<double> accessory_best_uv{};  // its own best second in the recording
};

// References must outlive the views. plan and accessory may be null.
struct ViewInput {
    const CleanRecording& clean;
    const Envelope& envelope;
    const Cycles& cycles;
    const Plan* plan = nullptr;
    const Envelope* accessory = nullptr;
};

// Why release_s is not given where there is nothing left to let go of at the cue to relax.
inline constexpr const char* kLetGoBefore = "had let go before the cue";
inline constexpr const char* kBegunAfter = "begun after the cue to relax";
inline constexpr const char* kNotReleased = "not released in the rest";

// Why nothing is counted from a cue at the very beginning of a recording that the contraction is older than.
inline constexpr const char* kBegunBefore = "the recording begins within the contraction";

// Why nothing is measured where cues_in_step is false.
inline constexpr const char* kOutOfStep = "the cues may be out of step with the trace";

// One view per cycle, same order, without a threshold.
// The rest before a cycle is the rest of the cycle before it, after its settle, up to this cycle's start; before the
// first cycle the plan's opening rest. Where that holds too little valid signal: the rest after this cycle.
std::vector<CycleView> view_cycles(const ViewInput& input);

// All measures of measure_list() of one cycle, same order, by the rules that hold for every measure: none of an
// unusable cycle but of its rest alone, none by cues out of step; no cue-relative time without true cues; nothing about a contraction that was missed.
std::vector<Estimate> measure_cycle(const CycleView& view);

}  // namespace tracehold
