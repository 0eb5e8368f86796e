#include "cycles/contraction_evidence.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace tracehold {
namespace {

constexpr double kDelaySpread_s = 0.25;
constexpr double kStrayShare = 0.15;    // contractions clearly early or late ...
constexpr double kStraySpread_s = 1.0;  // ... by about this
constexpr double kUnaskedRate_per_s = 0.01;  // contractions that nobody asks for within the plan: one in 100 s
constexpr double kLengthRange =
    3.5;                        // ln(10 s / 0.3 s): unasked contractions last that long or short, evenly on a log scale
constexpr double kSplit = 0.1;  // probability that a contraction shows as two, again as three ...
constexpr double kMostGap_s = 0.5;  // ... with no more than this between them
constexpr double kOwnRhythm = 0.5;       // probability that what is not the plan has a rhythm of its own ...
constexpr double kIntervalRange = 3.4;   // ... of intervals evenly on a log scale, ln(60 s / 2 s) ...
constexpr double kFinestSpread = 0.01, kCoarsestSpread = 1.0;  // ... with this spread of the logarithms or that ...
constexpr std::size_t kSpreadCount = 30;
constexpr double kMostOfOwn = 30.0;      // ... and one to so many contractions

double delay_density(double delay_s) {
    const auto bell = [&](double spread) {
        const double z = (delay_s - kDelay_s) / spread;
        return std::exp(-0.5 * z * z) / (2.5066283 * spread);
    };
    return (1.0 - kStrayShare) * bell(kDelaySpread_s) + kStrayShare * bell(kStraySpread_s);
}

// How often a contraction of that length begins unasked at that very time within the plan, per s and s.
double unasked(const Burst& burst) {
    return kUnaskedRate_per_s / (kLengthRange * std::max(burst.span.length_s(), 0.3));
}

// Sum over bursts of p(begin) p(end) / unasked, for cues at these times; a contraction may show as up to three bursts.
double performed(std::span<const Burst> bursts, TimeSpan cue) {
    double sum = 0.0;
    const auto before = [](const Burst& burst, double t) { return burst.span.begin_s < t; };
    auto first = std::lower_bound(bursts.begin(), bursts.end(), cue.begin_s - kMostDelay_s, before);
    for (; first != bursts.end() && first->span.begin_s < cue.begin_s + kMostDelay_s; ++first) {
        double odds = delay_density(first->span.begin_s - cue.begin_s) / unasked(*first);
        sum += odds * delay_density(first->span.end_s - cue.end_s);
        for (auto last = first + 1; last != bursts.end() && last - first < 3; ++last) {
            if (last->span.begin_s - (last - 1)->span.end_s > kMostGap_s) break;
            // The break lies anywhere within the contraction and is any length up to kMostGap_s.
            odds *= kSplit / (cue.length_s() * kMostGap_s) / unasked(*last);
            sum += odds * delay_density(last->span.end_s - cue.end_s);
        }
    }
    return sum;
}

// Log density of values that lie alike: normal of any mean within the range and any spread, log-uniform.
double alike(const std::vector<double>& values, double range) {
    const auto n = static_cast<double>(values.size());
    if (values.empty()) return 0.0;
    double mean = 0.0, squares = 0.0;
    for (const double v : values) mean += v / n;
    for (const double v : values) squares += (v - mean) * (v - mean);
    double sum = kNever;
    for (std::size_t k = 0; k < kSpreadCount; ++k) {
        const double spread = kFinestSpread * std::pow(kCoarsestSpread / kFinestSpread, static_cast<double>(k) / (kSpreadCount - 1));
        sum = log_sum(sum, -(n - 1.0) * std::log(2.5066283 * spread) - 0.5 * squares / (spread * spread));
    }
    return sum - std::log(static_cast<double>(kSpreadCount)) - std::log(range) - 0.5 * std::log(n);
}

// Log evidence of a rhythm of the person's own, against the same contractions unasked within the plan.
double own_rhythm(std::span<const Burst> bursts, double duration_s) {
    std::vector<double> lengths, intervals;
    double unasked_too = -kUnaskedRate_per_s * duration_s, per_second = -std::log(duration_s);
    for (std::size_t i = 0; i < bursts.size(); ++i) {
        lengths.push_back(std::log(std::max(bursts[i].span.length_s(), 0.3)));
        unasked_too += std::log(kUnaskedRate_per_s / kLengthRange);
        if (i == 0) continue;
        const double interval_s = bursts[i].span.begin_s - bursts[i - 1].span.begin_s;
        intervals.push_back(std::log(interval_s));
        per_second -= std::log(interval_s);
    }
    return alike(lengths, kLengthRange) + alike(intervals, kIntervalRange) + per_second - std::log(kMostOfOwn) - unasked_too;
}

}  // namespace

double log_sum(double a, double b) {
    constexpr double kNothing = 50.0;  // e^-50 is lost in any sum here
    const double high = std::max(a, b), less = high - std::min(a, b);
    return high <= kNever ? kNever : less > kNothing ? high : high + std::log1p(std::exp(-less));
}

double cycle_evidence(std::span<const Burst> bursts, TimeSpan cue) { return std::log(kMissed + (1.0 - kMissed) * performed(bursts, cue)); }

double outside(std::ptrdiff_t count, double length_s, double gap_s) {
    const auto n = static_cast<double>(count);
    return std::lgamma(n + 1.0) + std::log(gap_s) - (n + 1.0) * std::log(gap_s + length_s) -
           n * std::log(kUnaskedRate_per_s) + kUnaskedRate_per_s * length_s;
}

double no_plan(std::span<const Burst> bursts, double duration_s) {
    const double at_random = outside(static_cast<std::ptrdiff_t>(bursts.size()), duration_s, kBeforeGap_s);
    if (bursts.empty()) return at_random;
    return log_sum(std::log(1.0 - kOwnRhythm) + at_random, std::log(kOwnRhythm) + own_rhythm(bursts, duration_s));
}

}  // namespace tracehold
