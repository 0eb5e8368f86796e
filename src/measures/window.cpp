#include "measures/window.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "tracehold/core/many_values.hpp"
#include "tracehold/core/wide_lanes.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

// SD of a mean of |x| over that of a root mean square, for Gaussian x.
const double kRectifiedFactor = std::sqrt(std::numbers::pi - 2.0);

// SD of the median of a moving RMS over that of its mean. The RMS of neighbouring windows correlates along a triangle,
// for which the arcsine law of median and correlation gives int asin(1 - |u|) du = pi - 2 against int (1 - |u|) du = 1.
const double kMedianFactor = std::sqrt(std::numbers::pi - 2.0);

struct Sums {
    double values = 0.0, squares = 0.0;
    std::size_t valid = 0;
};

// Of the finite samples. Four sums side by side: a single one would wait for itself at every sample.
TRACEHOLD_WIDE Sums sums_of(std::span<const float> uv) {
    const FourDoubles nothing{}, one = 1.0 - nothing;
    FourDoubles values{}, squares{}, valid{};
    std::size_t i = 0;
    for (; i + 4 <= uv.size(); i += 4) {
        const FourDoubles v{uv[i], uv[i + 1], uv[i + 2], uv[i + 3]};
        const auto is_finite = v - v == nothing;
        const FourDoubles finite = is_finite ? v : nothing;
        values += finite;
        squares += finite * finite;
        valid += is_finite ? one : nothing;
    }
    Sums out{(values[0] + values[1]) + (values[2] + values[3]), (squares[0] + squares[1]) + (squares[2] + squares[3]),
             static_cast<std::size_t>((valid[0] + valid[1]) + (valid[2] + valid[3]))};
    for (const float e : uv.subspan(i)) {
        if (!std::isfinite(e)) continue;
        out.values += static_cast<double>(e);
        out.squares += static_cast<double>(e) * static_cast<double>(e);
        ++out.valid;
    }
    return out;
}

std::size_t expected_samples(const Envelope& envelope, TimeSpan span) {
    return static_cast<std::size_t>(std::max(0.0, std::round(span.length_s() * envelope.rate.value)));
}

}  // namespace

std::span<const float> samples_of(const Envelope& envelope, const Window& window) {
    return std::span(envelope.uv).subspan(window.samples.begin, window.samples.size());
}

std::vector<double> valid_samples(const Envelope& envelope, const Window& window) {
    const std::span<const float> samples = samples_of(envelope, window);
    if (window.valid == samples.size()) return {samples.begin(), samples.end()};
    std::vector<double> values;
    values.reserve(window.valid);
    for (const float e : samples) {
        if (std::isfinite(e)) values.push_back(e);
    }
    return values;
}

double margin_s(TimeSpan span) { return std::min(1.0, std::max(0.0, span.length_s()) / 3.0); }

TimeSpan settled(TimeSpan rest) { return {rest.begin_s + margin_s(rest), rest.end_s}; }

Window window_of(const Envelope& envelope, TimeSpan span) {
    Window window;
    window.samples = samples_in(span, envelope.rate, envelope.uv.size());
    const Sums sums = sums_of(samples_of(envelope, window));
    window.valid = sums.valid;
    const std::size_t expected = std::max(expected_samples(envelope, span), window.samples.size());
    if (expected == 0) {
        window.reason = "the window is empty";
    } else if (static_cast<double>(window.valid) < kLeastValidShare * static_cast<double>(expected)) {
        window.reason = kTooLittleValid;
    }
    if (window.valid == 0) return window;
    window.valid_s = static_cast<double>(window.valid) / envelope.rate.value;
    window.mean = sums.values / static_cast<double>(window.valid);
    window.mean_square = sums.squares / static_cast<double>(window.valid);
    return window;
}

std::optional<double> error_of_mean(const Envelope& envelope, const Window& window,
                                    std::optional<double> bandwidth_hz) {
    if (!bandwidth_hz || !(window.valid_s > 0.0) || !(window.mean_square > 0.0)) return std::nullopt;
    double spread = std::sqrt(window.mean_square);
    if (envelope.noise_subtracted) {
        spread = (window.mean_square + envelope.noise_floor_uv * envelope.noise_floor_uv) / spread;
    }
    if (envelope.method == EnvelopeMethod::rectified) spread *= kRectifiedFactor;
    return spread / (2.0 * std::sqrt(*bandwidth_hz * window.valid_s));
}

Estimate mean_of(const Envelope& envelope, const Window& window, std::optional<double> bandwidth_hz) {
    if (!window.reason.empty()) return Estimate::none(window.reason);
    return {window.mean, error_of_mean(envelope, window, bandwidth_hz), {}};
}

Estimate median_of(const Envelope& envelope, const Window& window, std::optional<double> bandwidth_hz) {
    if (!window.reason.empty()) return Estimate::none(window.reason);
    const std::span<const float> samples = samples_of(envelope, window);
    std::vector<float> values(samples.begin(), samples.end());
    if (window.valid < values.size()) std::erase_if(values, [](float e) { return !std::isfinite(e); });
    Estimate level = Estimate::of(quantile_in_place(values, 0.5));
    if (const auto error = error_of_mean(envelope, window, bandwidth_hz)) level.error = kMedianFactor * *error;
    return level;
}

SecondMeans second_means(const Envelope& envelope, SampleRange samples) {
    SecondMeans means;
    means.length = std::max<std::size_t>(1, static_cast<std::size_t>(std::llround(envelope.rate.value)));
    if (samples.size() < means.length) return means;
    const auto uv = std::span(envelope.uv).subspan(samples.begin, samples.size());
    means.uv.resize(uv.size() + 1 - means.length);
    const double least = kLeastValidShare * static_cast<double>(means.length);
    double sum = 0.0, valid = 0.0;
    if (!any_of_many(uv, [](float e) { return e - e != 0.0F; })) {  // all are finite, as mostly
        for (std::size_t i = 0; i + 1 < means.length; ++i) sum += uv[i];
        for (std::size_t begin = 0; begin < means.uv.size(); ++begin) {
            sum += uv[begin + means.length - 1];
            means.uv[begin] = sum / static_cast<double>(means.length);
            sum -= uv[begin];
        }
        return means;
    }
    const auto is_finite = [](float e) { return std::abs(e) <= std::numeric_limits<float>::max(); };
    const auto meet = [&](float e) { sum += is_finite(e) ? e : 0.0F, valid += is_finite(e) ? 1.0 : 0.0; };
    const auto leave = [&](float e) { sum -= is_finite(e) ? e : 0.0F, valid -= is_finite(e) ? 1.0 : 0.0; };
    for (std::size_t i = 0; i + 1 < means.length; ++i) meet(uv[i]);
    for (std::size_t begin = 0; begin < means.uv.size(); ++begin) {
        meet(uv[begin + means.length - 1]);
        means.uv[begin] = valid >= least ? sum / valid : std::numeric_limits<double>::quiet_NaN();
        leave(uv[begin]);
    }
    return means;
}

std::optional<std::size_t> largest(const SecondMeans& means, std::size_t end) {
    std::optional<std::size_t> best;
    double most = -std::numeric_limits<double>::infinity();
    for (std::size_t j = 0; j < std::min(end, means.uv.size()); ++j) {
        if (means.uv[j] > most) best = j, most = means.uv[j];
    }
    return best;
}

}  // namespace tracehold
