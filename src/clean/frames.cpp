#include "clean/frames.hpp"

#include <cstdint>
#include <iterator>

#include "tracehold/core/many_values.hpp"
#include "tracehold/core/wide_lanes.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

// So many frames side by side, for a single sum would wait for itself at every sample.
template <std::size_t Side, class Term>
void add_averages(std::span<const float> uv, std::size_t length, Frames& out, Term term) {
    double sums[Side] = {};
    std::size_t valid[Side] = {};
    for (std::size_t i = 0; i < length; ++i) {
        for (std::size_t k = 0; k < Side; ++k) {
            const float v = uv[k * length + i];
            sums[k] += std::isnan(v) ? 0.0 : term(static_cast<double>(v));
            valid[k] += std::isnan(v) ? 0 : 1;
        }
    }
    for (std::size_t k = 0; k < Side; ++k) {
        out.value.push_back(2 * valid[k] < out.samples ? std::nanf("")
                                                       : static_cast<float>(sums[k] / static_cast<double>(valid[k])));
    }
}

template <class Term>
Frames frame_averages(std::span<const float> uv, Hertz rate, Seconds length, Term term) {
    constexpr std::size_t kSide = 8;
    Frames out;
    out.samples = std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(rate.value * length.value)));
    out.rate = Hertz{rate.value / static_cast<double>(out.samples)};
    out.value.reserve(uv.size() / out.samples + 1);
    std::size_t begin = 0;
    for (; begin + kSide * out.samples <= uv.size(); begin += kSide * out.samples)
        add_averages<kSide>(uv.subspan(begin), out.samples, out, term);
    for (; begin < uv.size(); begin += out.samples)
        add_averages<1>(uv.subspan(begin), std::min(out.samples, uv.size() - begin), out, term);
    return out;
}

}  // namespace

Frames frame_means(std::span<const float> uv, Hertz rate, Seconds length) {
    return frame_averages(uv, rate, length, [](double v) { return v; });
}

Frames frame_powers(std::span<const float> uv, Hertz rate, Seconds length) {
    return frame_averages(uv, rate, length, [](double v) { return v * v; });
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
