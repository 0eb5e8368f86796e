#include "cycles/onset_envelope.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "cycles/rest_variation.hpp"

namespace tracehold {

// Idea: an exported amplitude is known every 10 to 250 ms only, so a rise has no shape worth a model. Over the stretch
// around a cue the amplitude has one mean and spread before a change and others after it; with n samples in each part
//     LL(t) = -n0/2 log s0^2 - n1/2 log s1^2,   p(t) ~ e^(c LL(t))
// and the median of p answers. The change is the middle of a rise, not its first beginning: on an amplitude no more can
// be said. Limits: error never below one sample step; a stretch with fewer than three samples a part gives no time.

namespace {

// Our choices.
constexpr double kReach_s = 1.5;  // before the contract cue and after the relax cue
constexpr double kOverlapTemper = 0.5;   // neighbouring amplitudes overlap in the recorder's window
constexpr double kEvidenceOfChange = 12.0;
constexpr double kLeastRise = 0.2;  // of the resting amplitude
constexpr double kMostAtEnd = 0.1;
constexpr std::size_t kFewestInPart = 3;  // samples in each part

struct Sums {
    double n = 0.0, sum = 0.0, squares = 0.0;
    void add(double x) { n += 1.0, sum += x, squares += x * x; }
    Sums less(const Sums& o) const { return {n - o.n, sum - o.sum, squares - o.squares}; }
    double mean() const { return sum / n; }
    double variance(double floor) const { return std::max(floor, squares / n - mean() * mean()); }
    double log_likelihood(double floor) const { return -0.5 * n * (std::log(variance(floor)) + variance_ratio(floor)); }
    double variance_ratio(double floor) const { return std::max(0.0, squares / n - mean() * mean()) / variance(floor); }
};

struct Change {
    double evidence = 0.0;
    bool up = false;      // enough of a rise, upwards
    double median = 0.0;  // samples: the first one of the second part
    double low = 0.0, high = 0.0, spread = 0.0;
    bool at_border = false;
};

// The posterior of one change from low to high over valid samples; positions are those of the samples in the trace.
std::optional<Change> find_change(std::span<const double> value, std::span<const double> position) {
    const std::size_t n = value.size();
    if (n < 2 * kFewestInPart) return std::nullopt;
    std::vector<Sums> before(n + 1);
    for (std::size_t i = 0; i < n; ++i) (before[i + 1] = before[i]).add(value[i]);
    const double floor = std::max(1e-4 * before[n].variance(0.0), 1e-12 * before[n].squares / static_cast<double>(n));
    if (!(floor > 0.0)) return std::nullopt;
    std::vector<double> ll(n, -1e300);
    std::size_t best = kFewestInPart;
    for (std::size_t i = kFewestInPart; i + kFewestInPart <= n; ++i) {
        const Sums after = before[n].less(before[i]);
        if (after.mean() > before[i].mean()) ll[i] = before[i].log_likelihood(floor) + after.log_likelihood(floor);
        if (ll[i] > ll[best]) best = i;
    }
    Change out{kOverlapTemper * (ll[best] - before[n].log_likelihood(floor)), false, 0.0, 0.0, 0.0, 0.0, false};
    const double low_level = before[best].mean(), high_level = before[n].less(before[best]).mean();
    out.up = ll[best] > -1e299 && high_level > (1.0 + kLeastRise) * low_level;
    double sum = 0.0, mean = 0.0, square = 0.0, passed = 0.0;
    std::vector<double> p(n, 0.0);
    for (std::size_t i = 0; i < n; ++i) sum += p[i] = std::exp(kOverlapTemper * (ll[i] - ll[best]));
    for (std::size_t i = 0; i < n; ++i) {
        p[i] /= sum;
        mean += p[i] * position[i];
        square += p[i] * position[i] * position[i];
        if (passed < 0.025 && passed + p[i] >= 0.025) out.low = position[i];
        if (passed < 0.5 && passed + p[i] >= 0.5) out.median = position[i];
        if (passed < 0.975 && passed + p[i] >= 0.975) out.high = position[i];
        passed += p[i];
    }
    out.spread = std::sqrt(std::max(0.0, square - mean * mean));
    out.at_border = std::max(p[kFewestInPart], p[n - kFewestInPart]) > kMostAtEnd;
    return out;
}

struct ValidSamples {
    std::vector<double> value, position;
};

ValidSamples valid_samples(std::span<const float> uv, SampleRange range, bool backwards) {
    ValidSamples out;
    for (std::size_t i = range.begin; i < range.end; ++i) {
        const std::size_t at = backwards ? range.end - 1 - (i - range.begin) : i;
        if (!std::isfinite(uv[at])) continue;
        out.value.push_back(static_cast<double>(uv[at]));
        out.position.push_back(static_cast<double>(at));
    }
    if (backwards)
        for (double& p : out.position) p = -p;  // increasing again
    return out;
}

// Fills in one side of a placement. sign: -1 where the trace was read backwards.
void tell(const std::optional<Change>& change, double step_s, double sign, std::optional<EventTime>& time,
          std::string& reason) {
    if (!change || !change->up)
        reason = "not detectable";
    else if (change->at_border)
        reason = "it may lie outside the stretch that was searched";
    if (!reason.empty()) return;
    const double shift = sign < 0.0 ? 0.5 : -0.5;  // between the last sample of one level and the first of the other
    const auto seconds = [&](double position) { return (sign * position + shift) * step_s; };
    double low = seconds(change->low), high = seconds(change->high);
    if (low > high) std::swap(low, high);
    time = EventTime{seconds(change->median), std::max(step_s, change->spread * step_s), low - step_s, high + step_s};
}

// From the rise to the fall, as the median position of each; the window where one is missing or they are out of order.
TimeSpan between(const std::optional<Change>& rise, const std::optional<Change>& fall, double step_s, TimeSpan window) {
    if (!rise || !fall || !rise->up || !fall->up) return window;
    const TimeSpan run{rise->median * step_s, (1.0 - fall->median) * step_s};
    return run.length_s() >= static_cast<double>(kFewestInPart) * step_s ? run : window;
}

}  // namespace

std::vector<Placement> place_on_envelope(std::span<const float> uv, Hertz rate, std::span<const TimeSpan> windows) {
    std::vector<Placement> out;
    PowerSteps steps{1.0 / rate.value, 0.0, {}};
    for (const float e : uv) steps.power.push_back(static_cast<double>(e) * static_cast<double>(e));
    const RestVariation variation = rest_variation(steps, windows);
    for (std::size_t i = 0; i < windows.size(); ++i) {
        const TimeSpan w = windows[i];
        const double gap_before = i > 0 ? w.begin_s - windows[i - 1].end_s : kReach_s;
        const double gap_after = i + 1 < windows.size() ? windows[i + 1].begin_s - w.end_s : kReach_s;
        const double middle = 0.5 * (w.begin_s + w.end_s);
        const TimeSpan head{w.begin_s - std::min(kReach_s, 0.5 * gap_before), middle};
        const TimeSpan tail{middle, w.end_s + std::min(2.0 * kReach_s, gap_after)};
        const ValidSamples rising = valid_samples(uv, samples_in(head, rate, uv.size()), false);
        const ValidSamples falling = valid_samples(uv, samples_in(tail, rate, uv.size()), true);
        const std::optional<Change> rise = find_change(rising.value, rising.position);
        const std::optional<Change> fall = find_change(falling.value, falling.position);
        Placement p;
        for (const auto& change : {rise, fall})
            if (change && change->up) p.evidence += change->evidence;
        const TimeSpan core = between(rise, fall, steps.step_s, w);
        p.above_rest = above_rest(steps, variation, core, {std::min(core.begin_s, w.begin_s), std::max(core.end_s, w.end_s)});
        p.detected = p.evidence >= kEvidenceOfChange && p.above_rest;
        const std::string nothing = p.detected ? "" : "no contraction found in this window";
        p.onset_reason = p.offset_reason = nothing;
        tell(rise, 1.0 / rate.value, 1.0, p.onset, p.onset_reason);
        tell(fall, 1.0 / rate.value, -1.0, p.offset, p.offset_reason);
        if (p.onset_reason == "not detectable") p.onset_reason = "onset not detectable";
        if (p.offset_reason == "not detectable") p.offset_reason = "offset not detectable";
        out.push_back(std::move(p));
    }
    return out;
}

}  // namespace tracehold
