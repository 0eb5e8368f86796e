#include "clean/frames.hpp"

#include <array>
#include <cstdint>
#include <iterator>

#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

template <class Term>
Frames frame_averages(std::span<const float> uv, Hertz rate, Seconds length, Term term) {
    Frames out;
    out.samples = std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(rate.value * length.value)));
    out.rate = Hertz{rate.value / static_cast<double>(out.samples)};
    for (std::size_t begin = 0; begin < uv.size(); begin += out.samples) {
        double sum = 0.0;
        std::size_t valid = 0;
        for (const float v : uv.subspan(begin, std::min(out.samples, uv.size() - begin))) {
            if (std::isnan(v)) continue;
            sum += term(static_cast<double>(v));
            ++valid;
        }
        out.value.push_back(2 * valid < out.samples ? std::nanf("")
                                                    : static_cast<float>(sum / static_cast<double>(valid)));
    }
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

float largest_size(std::span<const float> values) {
    std::array<float, 8> most{};  // eight side by side: a single one would wait for itself at every value
    std::size_t i = 0;
    for (; i + most.size() <= values.size(); i += most.size()) {
        for (std::size_t k = 0; k < most.size(); ++k) {
            const float size = std::abs(values[i + k]);
            most[k] = size > most[k] ? size : most[k];
        }
    }
    for (; i < values.size(); ++i) most[0] = std::max(most[0], std::abs(values[i]));
    return *std::max_element(most.begin(), most.end());
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
