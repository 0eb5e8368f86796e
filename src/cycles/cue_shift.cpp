#include "cycles/cue_shift.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

constexpr double kExpected_s = -0.5, kReacted_s = 1.5;  // what people do: expect a cue, and react to it late
constexpr double kFurthest_s = 10.0;
constexpr double kAlike_s = 1.0;
constexpr std::size_t kFewestAlike = 3;

// How much later than its cue each burst near it begins, in order of size; a burst stands beside several cues.
std::vector<double> delays(std::span<const Burst> bursts, std::span<const CueWindow> windows) {
    std::vector<double> all;
    for (const CueWindow& window : windows) {
        const auto before = [](const Burst& burst, double t) { return burst.span.begin_s < t; };
        auto burst = std::lower_bound(bursts.begin(), bursts.end(), window.work.begin_s - kFurthest_s, before);
        for (; burst != bursts.end() && burst->span.begin_s <= window.work.begin_s + kFurthest_s; ++burst) {
            if (burst->firm) all.push_back(burst->span.begin_s - window.work.begin_s);
        }
    }
    std::sort(all.begin(), all.end());
    return all;
}

std::span<const double> between(const std::vector<double>& sorted, double low, double high) {
    const auto begin = std::lower_bound(sorted.begin(), sorted.end(), low), end = std::upper_bound(begin, sorted.end(), high);
    return {begin, end};
}

// The delays in the second that holds most of them; of equal ones that nearest to the cues.
std::span<const double> most_alike(const std::vector<double>& sorted) {
    std::span<const double> best;
    for (const double first : sorted) {
        const auto alike = between(sorted, first, first + kAlike_s);
        const bool nearer = !best.empty() && std::abs(median(alike)) < std::abs(median(best));
        if (alike.size() > best.size() || (alike.size() == best.size() && nearer)) best = alike;
    }
    return best;
}

std::optional<double> shift_of(std::span<const Burst> bursts, std::span<const CueWindow> windows) {
    const auto firm = static_cast<std::size_t>(std::count_if(bursts.begin(), bursts.end(), [](const Burst& b) { return b.firm; }));
    const std::vector<double> all = delays(bursts, windows);
    const auto alike = most_alike(all);
    if (alike.size() < kFewestAlike || 3 * alike.size() < 2 * std::min(firm, windows.size()) || 3 * alike.size() < windows.size()) return {};
    const double shift_s = median(alike);
    const bool in_step = shift_s >= kExpected_s && shift_s <= kReacted_s;
    if (in_step || 4 * between(all, kExpected_s, kReacted_s).size() >= 3 * alike.size()) return {};
    return shift_s;
}

bool in_order(const std::vector<CueWindow>& windows) {
    double end_s = 0.0;
    for (const CueWindow& window : windows) {
        if (window.work.begin_s < end_s || window.work.length_s() <= 0.0) return false;
        end_s = window.work.end_s;
    }
    return true;
}

// Unmoved where one would leave the recording or run into its neighbour.
void move(std::vector<CueWindow>& windows, double shift_s, std::optional<int> step) {
    std::vector<CueWindow> moved = windows;
    for (CueWindow& window : moved) {
        if (step && window.step != step) continue;
        window.work = {std::max(0.0, window.work.begin_s + shift_s), window.work.end_s + shift_s};
        window.rest_end_s = std::max(window.work.end_s, window.rest_end_s + shift_s);
    }
    if (in_order(moved)) windows = std::move(moved);
}

}  // namespace

std::vector<CueWindow> windows_where_answered(std::span<const Burst> bursts, std::span<const CueWindow> windows) {
    std::vector<CueWindow> out(windows.begin(), windows.end());
    if (const auto shift_s = shift_of(bursts, windows)) {
        move(out, *shift_s, {});
        return out;
    }
    std::map<int, std::vector<CueWindow>> steps;
    for (const CueWindow& window : windows) {
        if (window.step) steps[*window.step].push_back(window);
    }
    for (const auto& [step, own] : steps) {
        const auto shift_s = shift_of(bursts, own);
        if (shift_s && *shift_s > 0.0) move(out, *shift_s, step);
    }
    return out;
}

}  // namespace tracehold
