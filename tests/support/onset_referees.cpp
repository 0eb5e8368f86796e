#include "support/onset_referees.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace tracehold::testing {

namespace {

std::size_t index_of(const RefereeTask& task, double time_s) {
    const double at = std::round(time_s * task.rate_hz);
    return static_cast<std::size_t>(std::clamp(at, 0.0, static_cast<double>(task.uv.size())));
}

struct Level {
    double mean = 0.0, sd = 0.0;
};

Level level_of(std::span<const double> values) {
    Level out;
    for (const double v : values) out.mean += v / static_cast<double>(values.size());
    for (const double v : values) out.sd += (v - out.mean) * (v - out.mean) / static_cast<double>(values.size());
    out.sd = std::sqrt(out.sd);
    return out;
}

Level rest_level(const RefereeTask& task, std::span<const double> curve) {
    const std::size_t begin = index_of(task, task.cue_s - 2.0), end = index_of(task, task.cue_s - 0.05);
    return level_of(curve.subspan(begin, std::max(begin + 1, end) - begin));
}

// First sample from which the curve stays above a level for hold samples.
std::optional<double> first_above(const RefereeTask& task, std::span<const double> curve, double level, double hold_s) {
    const auto hold = static_cast<std::size_t>(hold_s * task.rate_hz);
    std::size_t run = 0;
    for (std::size_t i = index_of(task, task.cue_s - 0.5); i < index_of(task, task.until_s); ++i) {
        run = curve[i] > level ? run + 1 : 0;
        if (run >= hold) return static_cast<double>(i + 1 - run) / task.rate_hz;
    }
    return std::nullopt;
}

// Second-order Butterworth, forward and backward.
std::vector<double> low_pass(std::vector<double> x, double rate_hz, double corner_hz) {
    const double k = std::tan(std::numbers::pi * corner_hz / rate_hz), norm = 1.0 + std::numbers::sqrt2 * k + k * k;
    const double b = k * k / norm, a1 = 2.0 * (k * k - 1.0) / norm, a2 = (1.0 - std::numbers::sqrt2 * k + k * k) / norm;
    for (int pass = 0; pass < 2; ++pass) {
        double x1 = x[0], x2 = x[0], y1 = x[0], y2 = x[0];
        for (double& value : x) {
            const double y = b * (value + 2.0 * x1 + x2) - a1 * y1 - a2 * y2;
            x2 = x1, x1 = value, y2 = y1, y1 = y;
            value = y;
        }
        std::reverse(x.begin(), x.end());
    }
    return x;
}

// Levinson-Durbin on the autocorrelation of rest.
std::vector<double> ar_model(std::span<const float> x, std::size_t order) {
    std::vector<double> r(order + 1, 0.0), a(order + 1, 0.0);
    for (std::size_t lag = 0; lag <= order; ++lag)
        for (std::size_t i = lag; i < x.size(); ++i)
            r[lag] += static_cast<double>(x[i]) * static_cast<double>(x[i - lag]);
    a[0] = 1.0;
    double error = r[0];
    for (std::size_t m = 1; m <= order; ++m) {
        double sum = 0.0;
        for (std::size_t i = 0; i < m; ++i) sum += a[i] * r[m - i];
        const double k = -sum / error;
        std::vector<double> next = a;
        for (std::size_t i = 1; i <= m; ++i) next[i] = a[i] + k * a[m - i];
        a = next;
        error *= 1.0 - k * k;
    }
    return a;
}

std::vector<double> whitened(std::span<const float> x, std::span<const double> a) {
    std::vector<double> out(x.size(), 0.0);
    for (std::size_t i = a.size(); i < x.size(); ++i)
        for (std::size_t k = 0; k < a.size(); ++k) out[i] += a[k] * static_cast<double>(x[i - k]);
    return out;
}

}  // namespace

std::optional<double> rms_threshold_onset(const RefereeTask& task) {
    const auto half = static_cast<std::size_t>(0.025 * task.rate_hz);
    std::vector<double> sums(task.uv.size() + 1, 0.0), curve(task.uv.size());
    for (std::size_t i = 0; i < task.uv.size(); ++i)
        sums[i + 1] = sums[i] + static_cast<double>(task.uv[i]) * static_cast<double>(task.uv[i]);
    for (std::size_t i = 0; i < curve.size(); ++i) {
        const std::size_t begin = i - std::min(i, half), end = std::min(curve.size(), i + half + 1);
        curve[i] = std::sqrt((sums[end] - sums[begin]) / static_cast<double>(end - begin));
    }
    const Level rest = rest_level(task, curve);
    return first_above(task, curve, rest.mean + 3.0 * rest.sd, 0.05);
}

std::optional<double> hodges_bui_onset(const RefereeTask& task) {
    std::vector<double> curve;
    for (const float x : task.uv) curve.push_back(std::abs(static_cast<double>(x)));
    curve = low_pass(std::move(curve), task.rate_hz, 50.0);
    const Level rest = rest_level(task, curve);
    const auto window = static_cast<std::size_t>(0.025 * task.rate_hz);
    for (std::size_t i = index_of(task, task.cue_s - 0.5); i + window < index_of(task, task.until_s); ++i) {
        double mean = 0.0;
        for (std::size_t j = i; j < i + window; ++j) mean += curve[j] / static_cast<double>(window);
        if (mean > rest.mean + 3.0 * rest.sd) return static_cast<double>(i) / task.rate_hz;
    }
    return std::nullopt;
}

std::optional<double> teager_kaiser_onset(const RefereeTask& task) {
    std::vector<double> curve(task.uv.size(), 0.0);
    for (std::size_t i = 1; i + 1 < curve.size(); ++i) {
        const double before = static_cast<double>(task.uv[i - 1]), x = static_cast<double>(task.uv[i]);
        curve[i] = std::abs(x * x - before * static_cast<double>(task.uv[i + 1]));
    }
    curve = low_pass(std::move(curve), task.rate_hz, 50.0);
    const Level rest = rest_level(task, curve);
    return first_above(task, curve, rest.mean + 3.0 * rest.sd, 0.025);
}

std::optional<double> aglr_onset(const RefereeTask& task) {
    constexpr double kAlarm = 10.0, kWindow_s = 0.04, kAfter_s = 0.2;
    const std::size_t rest_begin = index_of(task, task.cue_s - 2.0), rest_end = index_of(task, task.cue_s - 0.05);
    if (rest_end < rest_begin + 100) return std::nullopt;
    const std::vector<double> e = whitened(task.uv, ar_model(task.uv.subspan(rest_begin, rest_end - rest_begin), 8));
    std::vector<double> power(e.size() + 1, 0.0);
    for (std::size_t i = 0; i < e.size(); ++i) power[i + 1] = power[i] + e[i] * e[i];
    const auto variance = [&](std::size_t a, std::size_t b) {
        return (power[b] - power[a]) / static_cast<double>(b - a) + 1e-300;
    };
    const double rest = variance(rest_begin + 10, rest_end);
    const auto window = static_cast<std::size_t>(kWindow_s * task.rate_hz);
    const std::size_t begin = index_of(task, task.cue_s - 0.5), end = index_of(task, task.until_s);
    for (std::size_t alarm = begin + window; alarm < end; ++alarm) {
        const double ratio = variance(alarm - window, alarm) / rest;
        if (ratio <= 1.0 || 0.5 * static_cast<double>(window) * (ratio - 1.0 - std::log(ratio)) < kAlarm) continue;
        const std::size_t last = std::min(end, alarm + static_cast<std::size_t>(kAfter_s * task.rate_hz));
        std::size_t best = begin;
        double best_ratio = -1e300;
        for (std::size_t t = begin; t + window / 4 < last; ++t) {
            const double n = static_cast<double>(last - t), after = variance(t, last);
            const double ll = 0.5 * n * (after / rest - 1.0 - std::log(after / rest));
            if (after > rest && ll > best_ratio) best_ratio = ll, best = t;
        }
        return static_cast<double>(best) / task.rate_hz;
    }
    return std::nullopt;
}

std::span<const NamedReferee> referees() {
    static constexpr std::array<NamedReferee, 4> kAll{{{"RMS 3 SD", rms_threshold_onset},
                                                       {"Hodges-Bui", hodges_bui_onset},
                                                       {"TKEO", teager_kaiser_onset},
                                                       {"AGLR AR(8)", aglr_onset}}};
    return kAll;
}

std::optional<double> referee_offset(Referee referee, std::span<const float> uv, double rate_hz, double relax_s,
                                     double from_s) {
    const std::vector<float> reversed(uv.rbegin(), uv.rend());
    const double length_s = static_cast<double>(uv.size()) / rate_hz;
    const std::optional<double> onset = referee({reversed, rate_hz, length_s - (relax_s + 1.0), length_s - from_s});
    if (!onset) return std::nullopt;
    return length_s - *onset;
}

}  // namespace tracehold::testing
