#pragma once
// Sessions made of formulas, so that every measure has a value that can be worked out by hand.
#include <cmath>
#include <functional>
#include <limits>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "tracehold/measures/cycle_view.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/measures/score_session.hpp"

namespace tracehold::test {

inline constexpr float kMasked = std::numeric_limits<float>::quiet_NaN();

struct MadeSession {
    CleanRecording clean;
    Envelope envelope;
    Cycles cycles;
    Plan plan;
    bool with_plan = false;
    std::optional<Envelope> accessory;

    ViewInput input() const {
        return {clean, envelope, cycles, with_plan ? &plan : nullptr, accessory ? &*accessory : nullptr};
    }
    CycleView view(std::size_t cycle = 0) const { return view_cycles(input())[cycle]; }
    Estimate value(std::string_view key, std::size_t cycle = 0) const {
        return measure_cycle(view(cycle))[*measure_index(key)];
    }
    SessionScore score() const {
        return score_session({.recording = {},
                              .notes = {},
                              .clean = clean,
                              .envelope = envelope,
                              .cycles = cycles,
                              .plan = input().plan,
                              .accessory = input().accessory,
                              .corrections = {},
                              .settings = {}});
    }
};

inline Envelope made_envelope(double rate_hz, double length_s, const std::function<double(double)>& e) {
    Envelope envelope;
    envelope.rate = Hertz{rate_hz};
    for (std::size_t i = 0; static_cast<double>(i) < length_s * rate_hz; ++i) {
        envelope.uv.push_back(static_cast<float>(e(static_cast<double>(i) / rate_hz)));
    }
    return envelope;
}

// The trace itself is silent (no bandwidth, so no errors), the envelope is the formula. Add cycles to taste.
inline MadeSession made_session(double rate_hz, double length_s, const std::function<double(double)>& e) {
    MadeSession made;
    made.envelope = made_envelope(rate_hz, length_s, e);
    made.clean.rate = Hertz{rate_hz};
    made.clean.uv.assign(made.envelope.uv.size(), 0.0f);
    made.cycles.from = CueSource::marks;
    return made;
}

inline Cycle made_cycle(double w0, double w1, double w2, StepKind kind = StepKind::hold) {
    Cycle cycle;
    cycle.kind = kind;
    cycle.work = {w0, w1};
    cycle.rest = {w1, w2};
    cycle.onset_reason = "onset not detectable";
    cycle.offset_reason = "offset not detectable";
    return cycle;
}

inline void add_cycle(MadeSession& made, Cycle cycle) {
    cycle.index = static_cast<int>(made.cycles.cycles.size()) + 1;
    made.cycles.cycles.push_back(std::move(cycle));
}

inline void mask(Envelope& envelope, double from_s, double to_s) {
    const SampleRange range = samples_in({from_s, to_s}, envelope.rate, envelope.uv.size());
    for (std::size_t i = range.begin; i < range.end; ++i) envelope.uv[i] = kMasked;
}

// Rest at `rest`, contractions at `work` exactly in the work windows.
inline MadeSession boxes(double rate_hz, double rest, double work, const std::vector<Cycle>& cycles) {
    const auto level = [&](double t) {
        for (const Cycle& cycle : cycles) {
            if (t >= cycle.work.begin_s - 1e-9 && t < cycle.work.end_s - 1e-9) return work;
        }
        return rest;
    };
    MadeSession made = made_session(rate_hz, cycles.back().rest.end_s, level);
    for (const Cycle& cycle : cycles) add_cycle(made, cycle);
    return made;
}

}  // namespace tracehold::test
