#include "report/overlay.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

constexpr float kUnknown = std::numeric_limits<float>::quiet_NaN();

// Our choices: what leads up to the cue shows anticipation, what follows the release shows how rest is found again.
constexpr double kBefore_s[] = {0.5, 2.0};
constexpr double kAfter_s[] = {1.5, 5.0};

// All lines together, so that a page of 500 contractions stays small; and the bounds for one.
constexpr std::size_t kAllValues = 16000;
constexpr std::size_t kFewestValues = 40;
constexpr std::size_t kMostValues = 200;

std::vector<const Cycle*> done_of(const SessionScore& score, StepKind kind) {
    std::vector<const Cycle*> cycles;
    for (const ScoredCycle& scored : score.cycles) {
        if (scored.cycle.kind == kind && scored.cycle.status == CycleStatus::done) cycles.push_back(&scored.cycle);
    }
    return cycles;
}

template <class Length>
double median_length(const std::vector<const Cycle*>& cycles, Length length) {
    std::vector<double> lengths;
    for (const Cycle* cycle : cycles) lengths.push_back(length(*cycle));
    return median(lengths);
}

float highest_in(const Envelope& envelope, TimeSpan span) {
    float highest = kUnknown;
    const SampleRange range = samples_in(span, envelope.rate, envelope.uv.size());
    for (std::size_t i = range.begin; i < range.end; ++i) {
        if (std::isnan(highest) || envelope.uv[i] > highest) highest = envelope.uv[i];
    }
    return highest;
}

}  // namespace

Overlay lay_over(const SessionScore& score, const Envelope& envelope, StepKind kind) {
    const auto cycles = done_of(score, kind);
    Overlay overlay;
    if (cycles.empty()) return overlay;
    overlay.work_s = median_length(cycles, [](const Cycle& cycle) { return cycle.work.length_s(); });
    const double rest_s = median_length(cycles, [](const Cycle& cycle) { return cycle.rest.length_s(); });
    const double before_s = std::clamp(0.25 * overlay.work_s, kBefore_s[0], kBefore_s[1]);
    const double after_s = std::min(rest_s, std::clamp(0.5 * overlay.work_s, kAfter_s[0], kAfter_s[1]));
    const std::size_t values = std::clamp(kAllValues / cycles.size(), kFewestValues, kMostValues);
    const double length_s = before_s + overlay.work_s + after_s;
    const double step_s = std::max(length_s / static_cast<double>(values), 1.0 / envelope.rate.value);
    for (double t = -before_s; t < overlay.work_s + after_s - 1e-9; t += step_s)
        overlay.times.push_back(static_cast<float>(t));
    for (const Cycle* cycle : cycles) {
        std::vector<float> line;
        for (std::size_t k = 0; k < overlay.times.size(); ++k) {
            const double begin = cycle->work.begin_s - before_s + static_cast<double>(k) * step_s;
            const bool next_one = begin >= std::max(cycle->rest.end_s, cycle->work.end_s) - 1e-9;
            line.push_back(next_one ? kUnknown : highest_in(envelope, {begin, begin + step_s}));
        }
        overlay.lines.push_back(std::move(line));
    }
    return overlay;
}

std::vector<float> share_line(const Overlay& overlay, double share) {
    std::vector<float> line;
    for (std::size_t k = 0; k < overlay.times.size(); ++k) {
        std::vector<double> known;
        for (const auto& each : overlay.lines) {
            if (!std::isnan(each[k])) known.push_back(each[k]);
        }
        const bool enough = !known.empty() && 2 * known.size() >= overlay.lines.size();
        line.push_back(enough ? static_cast<float>(quantile(known, share)) : kUnknown);
    }
    return line;
}

}  // namespace tracehold
