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

// NaN where less than half of a frame of so many samples is valid.
float average_of(ValidSum sum, std::size_t samples) {
    return 2.0 * sum.valid < static_cast<double>(samples) ? std::nanf("") : static_cast<float>(sum.terms / sum.valid);
}

TRACEHOLD_WIDE ValidSum sum_of_values(std::span<const float> uv) { return sum_of_valid(uv, [](auto&) {}); }
TRACEHOLD_WIDE ValidSum sum_of_squares(std::span<const float> uv) { return sum_of_valid(uv, [](auto& v) { v *= v; }); }

Frames empty_frames(std::size_t size, Hertz rate, Seconds length) {
    Frames out;
    out.samples = std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(rate.value * length.value)));
    out.rate = Hertz{rate.value / static_cast<double>(out.samples)};
    out.value.resize((size + out.samples - 1) / out.samples);
    return out;
}

template <class Sum>
Frames frames_of(std::span<const float> uv, Hertz rate, Seconds length, const Ranges& without, Sum sum) {
    Frames out = empty_frames(uv.size(), rate, length);
    std::vector<float> masked;
    auto next = without.begin();
    for (std::size_t k = 0; k < out.value.size(); ++k) {
        const SampleRange frame = out.range(k, k + 1, uv.size());
        auto part = uv.subspan(frame.begin, frame.size());
        while (next != without.end() && next->end <= frame.begin) ++next;
        if (next != without.end() && next->begin < frame.end) {
            masked.assign(part.begin(), part.end());
            for (auto range = next; range != without.end() && range->begin < frame.end; ++range) {
                const std::size_t begin = std::max(range->begin, frame.begin), end = std::min(range->end, frame.end);
                std::fill_n(masked.begin() + static_cast<std::ptrdiff_t>(begin - frame.begin), end - begin, std::nanf(""));
            }
            part = masked;
        }
        out.value[k] = average_of(sum(part), out.samples);
    }
    return out;
}

}  // namespace

Frames frame_means(std::span<const float> uv, Hertz rate, Seconds length, const Ranges& without) {
    return frames_of(uv, rate, length, without, sum_of_values);
}

Frames frame_powers(std::span<const float> uv, Hertz rate, Seconds length, const Ranges& without) {
    return frames_of(uv, rate, length, without, sum_of_squares);
}

Frames short_powers(std::span<const float> uv, Hertz rate) { return frame_powers(uv, rate, Seconds{0.01}); }

double mean_power(std::span<const float> uv) { return sum_of_squares(uv).mean(); }

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
        const EightFloats& v = eight_at(&values[i]);
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

std::vector<std::span<const float>> loud_half_seconds(std::span<const float> uv, Hertz rate, double loud_uv) {
    const auto block = static_cast<std::size_t>(std::lround(0.5 * rate.value));
    std::vector<std::span<const float>> out;
    for (std::size_t begin = 0; block >= 2 && begin + block <= uv.size(); begin += block) {
        const auto part = uv.subspan(begin, block);
        if (mean_power(part) > kLoudShare * kLoudShare * loud_uv * loud_uv && !any_missing(part)) out.push_back(part);
    }
    return out;
}

double resting_level(std::span<const float> half_second_powers) { return level_quantile(half_second_powers, 0.1); }

}  // namespace tracehold
