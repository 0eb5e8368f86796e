#include "cycles/rest_variation.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "tracehold/statistics/summary.hpp"

// Idea: resting activity wanders, and a slow wave that passes its crest in a cue window looks like a faint contraction
// of exact likelihood. What tells them apart is the session's own rest: how much do two stretches of it differ that lie
// as far apart as the window and its rest? With log powers L of the window and R of the nearest rest on a side, d
// apart,
//     L - R > k s(d),   s(d) = 1.4826 median |R_i - R_j| over pairs of rests d to 3 d apart,
// must hold on both sides: a drift through the window is above one of them only. Three times the amplitude of rest is
// no wander whatever s(d) says, which contractions that nobody asked for may have widened. A muscle that lets go late
// is hardly above what follows at once: where the window is certainly above one side, the other may be asked at the far
// end of its rest. And where late releases fill most of the rests, a few tenths of quiet on either side, three times lower in
// amplitude, show a contraction of its own. Medians throughout, so that beats, a slow release or a contraction nobody asked for do little.
// Limits: rest that jumps once, just for the window, is a contraction to this rule; a contraction fainter than the
// wander of its session is not found.

namespace tracehold {
namespace {

// Our choices.
constexpr double kBefore_s = 0.3, kAfter_s = 1.0;  // around a cue window, no rest: anticipation and release
constexpr double kStretch_s = 8.0;                 // longest stretch of rest: longer ones average the wander away
constexpr double kLeast_s = 0.3;                   // shortest rest with a level of its own
constexpr double kBeside_s = 2.0;                  // of rest beside a window: longer is steadier, shorter is nearer
constexpr double kMargin_s = 0.1;                  // between the span and the rest beside it
constexpr double kFarther = 3.0;                   // pairs up to this many times as far apart tell of a distance
constexpr std::size_t kFewestPairs = 6;                 // pairs; where there are fewer, the nearest others join
// Rests onwards that each is compared with: nobody asks of rests further apart, and all pairs grow with the square of a
// recording's length. A session has fewer.
constexpr std::size_t kFarthest = 300;
constexpr double kTimesSpread = 1.2;  // higher loses faint contractions over restless rest, lower claims crests
constexpr double kCertain = 2.2;      // log power: three times the amplitude
constexpr double kSilence = 1e-6;     // of the mean power of the session

struct RestLevel {
    double middle_s = 0.0;
    double log_power = 0.0;
};

double log_median(const std::vector<double>& power, double floor) { return std::log(std::max(median(power), floor)); }

std::size_t steps_in(double seconds, double step_s) {
    return static_cast<std::size_t>(std::max(1.0, std::ceil(seconds / step_s - 1e-9)));
}

// Level of the steps [begin, end) that are rest and valid.
std::optional<RestLevel> rest_level(const PowerSteps& steps, const RestVariation& rest, std::size_t begin,
                                    std::size_t end) {
    std::vector<double> power;
    for (std::size_t i = begin; i < end; ++i)
        if (rest.is_rest[i] && std::isfinite(steps.power[i])) power.push_back(steps.power[i]);
    if (power.size() < steps_in(kLeast_s, steps.step_s)) return std::nullopt;
    const double middle = 0.5 * static_cast<double>(begin + end);
    return RestLevel{steps.origin_s + middle * steps.step_s, log_median(power, rest.floor)};
}

// Each gap between the cues in equal stretches.
std::vector<RestLevel> rest_levels(const PowerSteps& steps, const RestVariation& rest) {
    std::vector<RestLevel> levels;
    const std::size_t n = steps.power.size(), longest = steps_in(kStretch_s, steps.step_s);
    for (std::size_t i = 0; i < n; ++i) {
        const std::size_t begin = i;
        while (i < n && rest.is_rest[i]) ++i;
        const std::size_t parts = (i - begin + longest - 1) / longest;
        for (std::size_t p = 0; p < parts; ++p)
            if (const auto level =
                    rest_level(steps, rest, begin + (i - begin) * p / parts, begin + (i - begin) * (p + 1) / parts))
                levels.push_back(*level);
    }
    return levels;
}

// How much rests differ that lie so far apart, as the standard deviation of a Gaussian; empty where nobody knows.
std::optional<double> spread_at(std::span<const RestDifference> differences, double apart_s) {
    if (differences.size() < kFewestPairs) return std::nullopt;
    const auto nearer = [](const RestDifference& d, double s) { return d.apart_s < s; };
    const auto begin = std::min(std::lower_bound(differences.begin(), differences.end(), apart_s, nearer),
                                differences.end() - static_cast<std::ptrdiff_t>(kFewestPairs));
    const auto end = std::max(std::lower_bound(begin, differences.end(), kFarther * apart_s, nearer),
                              begin + static_cast<std::ptrdiff_t>(kFewestPairs));
    std::vector<double> sizes;
    for (auto d = begin; d != end; ++d) sizes.push_back(d->log_ratio);
    return 1.4826 * median(sizes);
}

// The nearest kBeside_s of valid rest before step `from` (direction -1) or from it on (+1).
std::optional<RestLevel> rest_beside(const PowerSteps& steps, const RestVariation& rest, std::ptrdiff_t from,
                                     std::ptrdiff_t direction) {
    const std::size_t wanted = steps_in(kBeside_s, steps.step_s);
    const auto n = static_cast<std::ptrdiff_t>(steps.power.size());
    std::vector<double> power;
    double sum = 0.0;
    for (std::ptrdiff_t i = from; i >= 0 && i < n && power.size() < wanted; i += direction) {
        const auto at = static_cast<std::size_t>(i);
        if (!rest.is_rest[at] || !std::isfinite(steps.power[at])) continue;
        power.push_back(steps.power[at]);
        sum += static_cast<double>(i);
    }
    if (power.size() < steps_in(kLeast_s, steps.step_s)) return std::nullopt;
    return RestLevel{steps.origin_s + sum / static_cast<double>(power.size()) * steps.step_s,
                     log_median(power, rest.floor)};
}

// The last step of the rest that is nearest to step `from` in that direction.
std::ptrdiff_t far_end(const RestVariation& rest, std::ptrdiff_t from, std::ptrdiff_t direction) {
    const auto n = static_cast<std::ptrdiff_t>(rest.is_rest.size());
    const auto is = [&](std::ptrdiff_t i, bool wanted) {
        return i >= 0 && i < n && (rest.is_rest[static_cast<std::size_t>(i)] != 0) == wanted;
    };
    std::ptrdiff_t i = from;
    while (is(i, false)) i += direction;
    while (is(i + direction, true)) i += direction;
    return i;
}

// Log power of the quietest kLeast_s of the rest that is nearest to step `from` in that direction.
std::optional<double> quietest_beside(const PowerSteps& steps, const RestVariation& rest, std::ptrdiff_t from, std::ptrdiff_t direction) {
    const std::ptrdiff_t end = far_end(rest, from, direction);
    const std::size_t length = steps_in(kLeast_s, steps.step_s);
    std::vector<double> sums{0.0};
    for (std::ptrdiff_t i = from; i != end + direction; i += direction) {
        if (i < 0 || i >= static_cast<std::ptrdiff_t>(steps.power.size())) break;
        const auto at = static_cast<std::size_t>(i);
        if (rest.is_rest[at] && std::isfinite(steps.power[at])) sums.push_back(sums.back() + steps.power[at]);
    }
    std::optional<double> least;
    for (std::size_t i = length; i < sums.size(); ++i) {
        const double mean = std::max((sums[i] - sums[i - length]) / static_cast<double>(length), rest.floor);
        least = std::min(least.value_or(mean), mean);
    }
    if (least) least = std::log(*least);
    return least;
}

}  // namespace

std::vector<unsigned char> far_from_cues(double origin_s, double step_s, std::size_t steps,
                                         std::span<const TimeSpan> windows) {
    std::vector<unsigned char> far(steps, 0);
    std::size_t w = 0;
    for (std::size_t i = 0; i < steps; ++i) {
        const double t = origin_s + static_cast<double>(i) * step_s;
        while (w < windows.size() && t >= windows[w].end_s + kAfter_s) ++w;
        far[i] = w == windows.size() || t < windows[w].begin_s - kBefore_s;
    }
    return far;
}

RestVariation rest_variation(const PowerSteps& steps, std::span<const TimeSpan> windows) {
    RestVariation rest;
    rest.is_rest = far_from_cues(steps.origin_s, steps.step_s, steps.power.size(), windows);
    double sum = 0.0;
    std::size_t valid = 0;
    for (const double p : steps.power)
        if (std::isfinite(p)) sum += p, ++valid;
    rest.floor = std::max(kSilence * sum / static_cast<double>(std::max<std::size_t>(valid, 1)), 1e-30);
    const std::vector<RestLevel> levels = rest_levels(steps, rest);
    for (std::size_t i = 0; i < levels.size(); ++i)
        for (std::size_t j = i + 1; j < std::min(levels.size(), i + 1 + kFarthest); ++j)
            rest.differences.push_back(
                {levels[j].middle_s - levels[i].middle_s, std::abs(levels[j].log_power - levels[i].log_power)});
    std::sort(rest.differences.begin(), rest.differences.end(),
              [](const auto& a, const auto& b) { return a.apart_s < b.apart_s; });
    return rest;
}

bool above_rest(const PowerSteps& steps, const RestVariation& rest, TimeSpan core, TimeSpan whole) {
    const auto step = [&](double t) {
        const double last = static_cast<double>(steps.power.size());
        return static_cast<std::ptrdiff_t>(std::clamp(std::floor((t - steps.origin_s) / steps.step_s), 0.0, last));
    };
    std::vector<double> power;
    for (std::ptrdiff_t i = step(core.begin_s); i < step(core.end_s); ++i)
        if (std::isfinite(steps.power[static_cast<std::size_t>(i)]))
            power.push_back(steps.power[static_cast<std::size_t>(i)]);
    if (power.empty()) return true;
    const double level = log_median(power, rest.floor);
    const double middle_s = 0.5 * (core.begin_s + core.end_s);
    struct Neighbour {
        std::ptrdiff_t from, direction;
        double above = 0.0;  // its log power
        bool clearly = true;
    };
    const auto ask = [&](Neighbour side) {
        const auto beside = rest_beside(steps, rest, side.from, side.direction);
        const auto spread = beside ? spread_at(rest.differences, std::abs(beside->middle_s - middle_s)) : std::nullopt;
        if (!spread) return side;
        side.above = level - beside->log_power;
        side.clearly = side.above > std::min(kTimesSpread * *spread, kCertain);
        return side;
    };
    const Neighbour before = ask({step(whole.begin_s - kMargin_s) - 1, -1}),
                    after = ask({step(whole.end_s + kMargin_s), 1});
    const auto passes = [&](const Neighbour& side, const Neighbour& other) {
        return side.clearly ||
               (other.above > kCertain && ask({far_end(rest, side.from, side.direction), -side.direction}).clearly);
    };
    if (passes(before, after) && passes(after, before)) return true;
    const auto leaves_quiet = [&](const Neighbour& side) {
        const auto quiet = quietest_beside(steps, rest, side.from, side.direction);
        return quiet && level - *quiet > kCertain;
    };
    return leaves_quiet(before) && leaves_quiet(after);
}

}  // namespace tracehold
