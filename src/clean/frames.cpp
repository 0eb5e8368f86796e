#include "clean/frames.hpp"

#include <cstdint>
#include <iterator>

#include "tracehold/core/many_values.hpp"
#include "tracehold/core/wide_lanes.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

struct Sum {
    double terms = 0.0, valid = 0.0;
};

// Over those that are numbers. Four sums side by side, for a single one would wait for itself at every sample.
template <class Term>
[[gnu::always_inline]] inline Sum sum_of(std::span<const float> uv, Term term) {
    const FourDoubles nothing{}, one = 1.0 - nothing;
    FourDoubles terms{}, valid{};
    std::size_t i = 0;
    for (; i + 4 <= uv.size(); i += 4) {
        FourDoubles v{uv[i], uv[i + 1], uv[i + 2], uv[i + 3]};
        valid += v == v ? one : nothing;
        term(v);
        terms += v == v ? v : nothing;
    }
    Sum out{(terms[0] + terms[1]) + (terms[2] + terms[3]), (valid[0] + valid[1]) + (valid[2] + valid[3])};
    for (; i < uv.size(); ++i) {
        double v = uv[i];
        if (std::isnan(v)) continue;
        term(v);
        out.terms += v;
        out.valid += 1.0;
    }
    return out;
}

template <class Term>
[[gnu::always_inline]] inline void fill_averages(std::span<const float> uv, std::size_t samples, std::span<float> out, Term term) {
    for (std::size_t k = 0; k < out.size(); ++k) {
        const Sum sum = sum_of(uv.subspan(k * samples, std::min(samples, uv.size() - k * samples)), term);
        out[k] = 2.0 * sum.valid < static_cast<double>(samples) ? std::nanf("") : static_cast<float>(sum.terms / sum.valid);
    }
}

TRACEHOLD_WIDE void fill_means(std::span<const float> uv, std::size_t samples, std::span<float> out) {
    fill_averages(uv, samples, out, [](auto&) {});
}

TRACEHOLD_WIDE void fill_powers(std::span<const float> uv, std::size_t samples, std::span<float> out) {
    fill_averages(uv, samples, out, [](auto& v) { v *= v; });
}

Frames empty_frames(std::size_t size, Hertz rate, Seconds length) {
    Frames out;
    out.samples = std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(rate.value * length.value)));
    out.rate = Hertz{rate.value / static_cast<double>(out.samples)};
    out.value.resize((size + out.samples - 1) / out.samples);
    return out;
}

}  // namespace

Frames frame_means(std::span<const float> uv, Hertz rate, Seconds length) {
    Frames out = empty_frames(uv.size(), rate, length);
    fill_means(uv, out.samples, out.value);
    return out;
}

Frames frame_powers(std::span<const float> uv, Hertz rate, Seconds length) {
    Frames out = empty_frames(uv.size(), rate, length);
    fill_powers(uv, out.samples, out.value);
    return out;
}

std::vector<float> smoothed(std::span<const float> values, std::size_t half) {
    std::vector<float> out(values.size());
    std::vector<double> sums(values.size() + 1);
    std::vector<std::size_t> counts(values.size() + 1);
    for (std::size_t i = 0; i < values.size(); ++i) {
        const bool valid = !std::isnan(values[i]);
        sums[i + 1] = sums[i] + (valid ? static_cast<double>(values[i]) : 0.0);
        counts[i + 1] = counts[i] + (valid ? 1 : 0);
    }
    for (std::size_t i = 0; i < values.size(); ++i) {
        const std::size_t begin = i - std::min(i, half), end = std::min(i + half + 1, values.size());
        const std::size_t count = counts[end] - counts[begin];
        out[i] =
            count == 0 ? std::nanf("") : static_cast<float>((sums[end] - sums[begin]) / static_cast<double>(count));
    }
    return out;
}

double valid_quantile(std::span<const float> values, double p) {
    std::vector<float> valid;
    valid.reserve(values.size());
    std::copy_if(values.begin(), values.end(), std::back_inserter(valid), [](float v) { return !std::isnan(v); });
    return valid.empty() ? 0.0 : quantile_in_place(valid, p);
}

TRACEHOLD_WIDE float largest_size(std::span<const float> values) {
    return largest_of(values, 0.0F, [](float v) { return std::abs(v); });
}

bool median_size_reaches(std::span<const float> values, float least) {
    std::uint32_t large = 0, valid = 0;
    for (const float value : values) {
        large += std::abs(value) >= least ? 1U : 0U;
        valid += value == value ? 1U : 0U;
    }
    return valid > 0 && large >= valid - (valid - 1) / 2;
}

double level_quantile(const Frames& powers, double p) {
    const auto half = static_cast<std::size_t>(std::lround(0.25 * powers.rate.value));
    return std::sqrt(std::max(0.0, valid_quantile(smoothed(powers.value, half), p)));
}

double resting_level(const Frames& powers) { return level_quantile(powers, 0.1); }

}  // namespace tracehold
