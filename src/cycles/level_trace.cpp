#include "cycles/level_trace.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "tracehold/core/many_values.hpp"
#include "tracehold/core/units.hpp"
#include "tracehold/statistics/summary.hpp"

// Idea: amplitudes of rest and work differ by a factor, so the log of the envelope has two humps. The cut between them
// is the one that leaves least variance within both sides (Otsu 1979); the levels are the medians on each side of it.
// A contraction begins and ends where the log level crosses a quarter of the way from rest to work and must pass half
// way (hysteresis), for a while, with enough area: what is faint must last longer to be believed. Where rest scatters up to
// that quarter, the trace is smoothed first, as little as it takes. Limits: one typical
// level of work. Contractions below a third of it in amplitude are taken for activity in the rest.

namespace tracehold {
namespace {

constexpr double kTraceStep_s =
    0.05;  // our choice: a third of the shortest flick; longer steps blur, shorter ones add noise
constexpr double kHeld_s = 10.0;  // our choice: longer is nothing told of a contraction by what was before
constexpr double kFloorShare = 0.01;  // of the 95th percentile: zeros of an export are 40 dB down, not infinitely far
constexpr double kLeastShare = 0.02;  // of the steps on either side of the cut: less is an artefact, not a level
constexpr double kLeastHeight = 0.34;  // ln(1.4), 3 dB: below it steady noise alone can look like two levels
constexpr double kPlainHeight = 1.1;   // ln(3): work three times as high as rest stands out of any rest
constexpr double kRareWork_s = 10.0;   // so much of it is a level in a recording of hours, though less than kLeastShare. Our choice
constexpr double kEdge = 0.25;  // of the way from rest to work on the log scale: where a contraction begins and ends
constexpr double kCore = 0.5;   // and what it must pass
constexpr double kLeastCore_s = 0.2;  // above kCore in all: shorter are spikes and cable knocks
// Log level over rest times seconds: 0.35 s at twice the rest. At 0.5 half the flicks of 0.6-1 s at 6 dB are not seen.
constexpr double kLeastArea = 0.25;
constexpr double kFirmArea = 0.5;   // 0.5 s at 2.7 times rest, 1 s at 1.65 times: no twitch of 0.2 s at 5 times rest
constexpr double kLeastPeak = 0.3;  // of the typical level of work
constexpr double kScatters = 2.0;   // SDs of rest that must stay below the edge
constexpr std::array<std::size_t, 3> kSmoothings{3, 5, 9};  // steps: as long as the shortest flicks at most

// RMS of each step; negative where fewer than half of its samples are valid.
TRACEHOLD_WIDE void fill_levels(std::span<const float> uv, std::size_t per_step, std::span<double> levels) {
    for (std::size_t k = 0; k < levels.size(); ++k) {
        const ValidSum power = sum_of_valid(uv.subspan(k * per_step, per_step), [](auto& e) { e *= e; });
        levels[k] = 2.0 * power.valid < static_cast<double>(per_step) ? -1.0 : std::sqrt(power.mean());
    }
}

std::vector<double> valid_of(const std::vector<double>& levels) {
    std::vector<double> valid;
    std::copy_if(levels.begin(), levels.end(), std::back_inserter(valid), [](double level) { return level >= 0.0; });
    return valid;
}

// Masked steps hold the level before them, those at the start the first valid one; in a longer gap it falls to that of quiet, so
// that nothing is taken to go on through it.
std::vector<double> log_levels(const std::vector<double>& levels, const std::vector<double>& valid, double step_s) {
    const double floor = std::max(kFloorShare * quantile(valid, 0.95), 1e-9);
    const double quiet = std::log(std::max(quantile(valid, 0.1), floor));
    double last = std::log(std::max(valid.front(), floor)), masked_s = 0.0;
    std::vector<double> out;
    for (const double level : levels) {
        masked_s = level >= 0.0 ? 0.0 : masked_s + step_s;
        if (level >= 0.0) last = std::log(std::max(level, floor));
        if (masked_s > kHeld_s) last = quiet;
        out.push_back(last);
    }
    return out;
}

std::vector<double> median_of_three(const std::vector<double>& x) {
    std::vector<double> out = x;
    for (std::size_t i = 1; i + 1 < x.size(); ++i) {
        out[i] = std::max(std::min(x[i - 1], x[i]), std::min(std::max(x[i - 1], x[i]), x[i + 1]));
    }
    return out;
}

// How many of the sorted values lie below the cut. In: at least two values.
std::size_t cut_between_humps(const std::vector<double>& sorted) {
    const std::size_t n = sorted.size();
    const std::size_t least = std::max<std::size_t>(1, static_cast<std::size_t>(kLeastShare * static_cast<double>(n)));
    double total = 0.0;
    for (const double v : sorted) total += v;
    double below = 0.0, best = -1.0;
    std::size_t cut = least;
    for (std::size_t k = 1; k < n; ++k) {
        below += sorted[k - 1];
        if (k < least || n - k < least) continue;
        const double difference = below / static_cast<double>(k) - (total - below) / static_cast<double>(n - k);
        const double between = static_cast<double>(k) * static_cast<double>(n - k) * difference * difference;
        if (between > best) {
            best = between;
            cut = k;
        }
    }
    return cut;
}

double height_of(const LevelTrace& trace) { return trace.work - trace.rest; }

// In: sorted levels.
void set_levels(std::span<const double> sorted, std::size_t cut, LevelTrace& trace) {
    const std::span<const double> below = sorted.first(cut);
    trace.rest = median(below);
    trace.work = median(sorted.subspan(cut));
    std::vector<double> away;
    for (const double v : below) away.push_back(std::abs(v - trace.rest));
    trace.rest_spread = 1.4826 * median(away);  // MAD to SD of a Gaussian
}

// Where little of hours is work, the cut lies somewhere in the rest; what stands plainly above that is the work.
void set_levels(LevelTrace& trace) {
    std::vector<double> sorted = trace.log_uv;
    std::sort(sorted.begin(), sorted.end());
    if (sorted.size() < 2) return;
    set_levels(sorted, cut_between_humps(sorted), trace);
    if (height_of(trace) >= kPlainHeight) return;
    const auto plain = std::lower_bound(sorted.begin(), sorted.end(), trace.rest + kPlainHeight);
    const auto count = static_cast<double>(sorted.end() - plain);
    if (count * trace.step_s >= kRareWork_s && count < kLeastShare * static_cast<double>(sorted.size()))
        set_levels(sorted, static_cast<std::size_t>(plain - sorted.begin()), trace);
}

LevelTrace smoothed(const LevelTrace& trace, std::size_t steps) {
    LevelTrace out = trace;
    const std::size_t n = trace.log_uv.size(), reach = steps / 2;
    for (std::size_t i = 0; i < n; ++i) {
        const std::size_t begin = i - std::min(i, reach), end = std::min(n, i + reach + 1);
        double sum = 0.0;
        for (std::size_t k = begin; k < end; ++k) sum += trace.log_uv[k];
        out.log_uv[i] = sum / static_cast<double>(end - begin);
    }
    set_levels(out);
    return out;
}

// Whether rest varies up to this share of the way to work, where that is not far.
bool scatters_to(double share, const LevelTrace& trace) {
    return height_of(trace) < kPlainHeight && kScatters * trace.rest_spread > share * height_of(trace);
}

LevelTrace steady(const LevelTrace& trace) {
    LevelTrace out = trace;
    for (const std::size_t steps : kSmoothings)
        if (scatters_to(kEdge, out)) out = smoothed(trace, steps);
    return out;
}

// One stretch above the edge level, steps [begin, end), of which those from core on count: its area if it is a
// contraction, else 0.
double area_of_contraction(const LevelTrace& trace, std::size_t begin, std::size_t end, double core) {
    double area = 0.0, core_s = 0.0, peak = trace.rest;
    for (std::size_t i = begin; i < end; ++i) {
        area += (trace.log_uv[i] - trace.rest) * trace.step_s;
        core_s += trace.log_uv[i] >= core ? trace.step_s : 0.0;
        peak = std::max(peak, trace.log_uv[i]);
    }
    const bool is_one =
        core_s >= kLeastCore_s - 1e-9 && area >= kLeastArea && peak >= trace.work + std::log(kLeastPeak);
    return is_one ? area : 0.0;
}

}  // namespace

LevelTrace trace_levels(const Envelope& envelope) {
    LevelTrace trace;
    const auto per_step = static_cast<std::size_t>(std::max(1.0, std::round(kTraceStep_s * envelope.rate.value)));
    trace.step_s = static_cast<double>(per_step) / envelope.rate.value;
    std::vector<double> levels(envelope.uv.size() / per_step);
    fill_levels(envelope.uv, per_step, levels);
    const std::vector<double> valid = valid_of(levels);
    trace.log_uv.assign(levels.size(), 0.0);
    if (valid.empty()) return trace;
    trace.log_uv = log_levels(levels, valid, trace.step_s);
    if (trace.step_s <= 0.1) trace.log_uv = median_of_three(trace.log_uv);
    set_levels(trace);
    return trace;
}

bool rest_is_restless(const LevelTrace& trace) {
    const LevelTrace steadied = steady(trace);
    return height_of(steadied) >= kLeastHeight && scatters_to(kCore, steadied);
}

std::vector<Burst> find_bursts(const LevelTrace& as_seen) {
    std::vector<Burst> bursts;
    const LevelTrace trace = steady(as_seen);
    const double height = height_of(trace);
    if (height < kLeastHeight) return bursts;
    const double edge = trace.rest + kEdge * height;
    const double core = trace.rest + kCore * height;
    const std::size_t n = trace.log_uv.size();
    for (std::size_t i = 0; i < n; ++i) {
        if (trace.log_uv[i] < edge) continue;
        const std::size_t begin = i;
        while (i < n && trace.log_uv[i] >= edge) ++i;
        const double area = area_of_contraction(trace, begin, i, core);
        if (area <= 0.0) continue;
        const auto at = [&](std::size_t k) { return trace.log_uv.begin() + static_cast<std::ptrdiff_t>(k); };
        const TimeSpan span{static_cast<double>(begin) * trace.step_s, static_cast<double>(i) * trace.step_s};
        bursts.push_back({span, std::exp(*std::max_element(at(begin), at(i))), area >= kFirmArea});
    }
    return bursts;
}

}  // namespace tracehold
