#include "cycles/status.hpp"

#include <algorithm>
#include <cmath>

namespace tracehold {
namespace {

constexpr double kReach = 0.2;  // our choice: of the window, or of the burst itself; less is a tail of something else
constexpr double kLatestReaction_s =
    1.5;  // our choice: a flick of 1 s is often begun after its relax cue, and is still that flick
constexpr double kAhead_s = 0.1;  // our choice: two steps of the level trace, which is as exactly as a burst's beginning is known
constexpr double kLeastExtra_s = 0.2;  // what is left of a burst after cutting must be at least a short flick

// Contractions of about one length are of one kind, that of the middle one: where nobody asked for a length, a hair's breadth
// must not part them.
void part_by_length(std::vector<CueWindow>& windows) {
    constexpr double kAlike = 1.3;  // our choice: from one length to the next longer one
    std::vector<CueWindow*> sorted;
    for (CueWindow& window : windows) sorted.push_back(&window);
    const auto length = [](const CueWindow* window) { return window->work.length_s(); };
    std::stable_sort(sorted.begin(), sorted.end(), [&](auto* a, auto* b) { return length(a) < length(b); });
    for (std::size_t begin = 0, end = 0; begin < sorted.size(); begin = end) {
        for (end = begin + 1; end < sorted.size() && length(sorted[end]) <= kAlike * length(sorted[end - 1]);) ++end;
        const StepKind kind = kind_by_length(length(sorted[(begin + end - 1) / 2]));
        for (std::size_t i = begin; i < end; ++i) sorted[i]->kind = kind;
    }
}

}  // namespace

double valid_share(const Envelope& envelope, TimeSpan span) {
    const SampleRange range = samples_in(span, envelope.rate, envelope.uv.size());
    if (range.empty()) return 0.0;
    const auto begin = envelope.uv.begin() + static_cast<std::ptrdiff_t>(range.begin);
    const auto valid =
        std::count_if(begin, begin + static_cast<std::ptrdiff_t>(range.size()), [](float e) { return !std::isnan(e); });
    return static_cast<double>(valid) / static_cast<double>(range.size());
}

bool begins_unseen(const Burst& burst, const Envelope& envelope) {
    const double step_s = 1.0 / envelope.rate.value;  // of an exported amplitude, longer than kAhead_s
    const TimeSpan ahead{burst.span.begin_s - std::max(kAhead_s, step_s), burst.span.begin_s};
    return burst.span.begin_s <= 0.0 || (ahead.begin_s >= 0.0 && valid_share(envelope, ahead) < 0.5);
}

bool answers(const Burst& burst, const CueWindow& window) {
    const TimeSpan& work = window.work;
    if (burst.span.begin_s >= work.begin_s) {
        const double latest = std::max(work.end_s, work.begin_s + kLatestReaction_s);
        return burst.span.begin_s < std::min(latest, 0.5 * (work.end_s + std::max(window.rest_end_s, work.end_s)));
    }
    const double overlap = std::min(burst.span.end_s, work.end_s) - work.begin_s;
    return overlap >= kReach * std::min(work.length_s(), burst.span.length_s());
}

std::vector<CueWindow> extra_windows(std::span<const Burst> bursts, std::span<const CueWindow> windows) {
    std::vector<CueWindow> extras;
    for (const Burst& burst : bursts) {
        TimeSpan span = burst.span;
        bool asked_for = false;
        for (const CueWindow& window : windows) {
            asked_for = asked_for || answers(burst, window);
            if (window.work.begin_s > span.begin_s) span.end_s = std::min(span.end_s, window.work.begin_s);
        }
        if (asked_for || !burst.firm || span.length_s() < kLeastExtra_s) continue;
        extras.push_back({std::nullopt, kind_by_length(span.length_s()), span, span.end_s});
    }
    return extras;
}

std::vector<CueWindow> windows_of_bursts(std::span<const Burst> bursts, double duration_s) {
    std::vector<CueWindow> windows;
    for (const Burst& burst : bursts) {
        if (!burst.firm) continue;
        const TimeSpan span{burst.span.begin_s, std::min(burst.span.end_s, duration_s)};
        if (!windows.empty()) windows.back().rest_end_s = std::max(span.begin_s, windows.back().work.end_s);
        windows.push_back({std::nullopt, StepKind::hold, span, duration_s});
    }
    part_by_length(windows);
    return windows;
}

void end_rests_at_next(std::vector<Cycle>& cycles) {
    for (std::size_t i = 0; i < cycles.size(); ++i) {
        Cycle& cycle = cycles[i];
        cycle.rest.begin_s = cycle.work.end_s;
        if (i + 1 < cycles.size()) cycle.rest.end_s = std::min(cycle.rest.end_s, cycles[i + 1].work.begin_s);
        cycle.rest.end_s = std::max(cycle.rest.end_s, cycle.rest.begin_s);
    }
}

}  // namespace tracehold
