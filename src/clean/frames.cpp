#include "clean/frames.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <iterator>

#include "tracehold/core/many_values.hpp"
#include "tracehold/core/wide_lanes.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {
namespace {

template <class Term>
[[gnu::always_inline]] inline void fill_averages(std::span<const float> uv, std::size_t samples, std::span<float> out, Term term) {
    for (std::size_t k = 0; k < out.size(); ++k) {
        const ValidSum sum = sum_of_valid(uv.subspan(k * samples, std::min(samples, uv.size() - k * samples)), term);
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

// Anew those frames that are masked in part or whole.
template <class Fill>
void fill_without(std::span<const float> uv, const Ranges& without, Fill fill, Frames& out) {
    std::vector<float> masked;
    for (auto range = without.begin(); range != without.end();) {
        const std::size_t first = range->begin / out.samples, begin = first * out.samples;
        std::size_t end = begin;  // of the frames that this range is in, and others that begin in the last of them
        auto behind = range;
        for (; behind != without.end() && (behind == range || behind->begin < end); ++behind)
            end = std::min((behind->end + out.samples - 1) / out.samples * out.samples, uv.size());
        masked.assign(uv.begin() + static_cast<std::ptrdiff_t>(begin), uv.begin() + static_cast<std::ptrdiff_t>(end));
        for (; range != behind; ++range)
            std::fill_n(masked.begin() + static_cast<std::ptrdiff_t>(range->begin - begin), range->size(), std::nanf(""));
        fill(masked, out.samples, std::span(out.value).subspan(first, (end - begin + out.samples - 1) / out.samples));
    }
}

}  // namespace

Frames frame_means(std::span<const float> uv, Hertz rate, Seconds length, const Ranges& without) {
    Frames out = empty_frames(uv.size(), rate, length);
    fill_means(uv, out.samples, out.value);
    fill_without(uv, without, fill_means, out);
    return out;
}

Frames frame_powers(std::span<const float> uv, Hertz rate, Seconds length, const Ranges& without) {
    Frames out = empty_frames(uv.size(), rate, length);
    fill_powers(uv, out.samples, out.value);
    fill_without(uv, without, fill_powers, out);
    return out;
}

Frames short_powers(std::span<const float> uv, Hertz rate) { return frame_powers(uv, rate, Seconds{0.01}); }

TRACEHOLD_WIDE double mean_power(std::span<const float> uv) {
    return sum_of_valid(uv, [](auto& v) { v *= v; }).mean();
}

std::vector<float> smoothed(std::span<const float> values, std::size_t half) {
    struct Sum {
        double of_valid = 0.0;
        std::size_t valid = 0;
    };
    std::vector<float> out(values.size());
    const std::size_t last = std::bit_ceil(2 * std::min(half, values.size()) + 2) - 1;
    std::vector<Sum> sums(last + 1);  // from the first value on; only those that a window still needs
    std::size_t summed = 0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const std::size_t begin = i - std::min(i, half), end = std::min(i + half + 1, values.size());
        for (; summed < end; ++summed) {
            Sum sum = sums[summed & last];
            if (!std::isnan(values[summed])) sum = {sum.of_valid + static_cast<double>(values[summed]), sum.valid + 1};
            sums[(summed + 1) & last] = sum;
        }
        const Sum &before = sums[begin & last], &behind = sums[end & last];
        const std::size_t count = behind.valid - before.valid;
        out[i] = count == 0 ? std::nanf("") : static_cast<float>((behind.of_valid - before.of_valid) / static_cast<double>(count));
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

TRACEHOLD_WIDE bool median_size_reaches(std::span<const float> values, float least) {
    auto large = EightFloats{} != EightFloats{}, valid = large;  // counts: whole numbers, from 0
    std::size_t i = 0;
    for (; i + 8 <= values.size(); i += 8) {
        const EightFloats v = eight_at(&values[i]);
        large -= (v >= least) | (v <= -least);  // -1 where it holds
        valid -= v == v;
    }
    int all_large = 0, all_valid = 0;
    for (std::size_t k = 0; k < 8; ++k) all_large += large[k], all_valid += valid[k];
    for (const float v : values.subspan(i)) all_large += std::abs(v) >= least ? 1 : 0, all_valid += v == v ? 1 : 0;
    return all_valid > 0 && all_large >= all_valid - (all_valid - 1) / 2;
}

std::vector<float> half_second_powers(const Frames& powers) {
    return smoothed(powers.value, static_cast<std::size_t>(std::lround(0.25 * powers.rate.value)));
}

double level_quantile(std::span<const float> half_second_powers, double p) {
    return std::sqrt(std::max(0.0, valid_quantile(half_second_powers, p)));
}

double resting_level(std::span<const float> half_second_powers) { return level_quantile(half_second_powers, 0.1); }

}  // namespace tracehold
