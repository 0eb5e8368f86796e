// Each sample is compared with the mean of the two that stand 1 ms before and after it: slow waves and heart beats leave that
// difference small. A spike's difference
//   - is 12 times the usual one of its quarter second and of the two beside it (median: a spike itself does not count; the largest of
//     three: the first samples of an abrupt contraction are measured by the contraction);
//   - is 7 times the standard deviation of the trace within 20 ms, itself and 1 ms either side left out. Single motor units, which are as
//     high but last 5 ms and more, stay below 5.
#include "clean/spikes.hpp"

#include <algorithm>
#include <cmath>

namespace tracehold {
namespace {

constexpr double kReach_s = 0.001;     // spikes are narrower, muscle is not; our choice
constexpr double kWidest_s = 0.001;    // its shadow at the neighbours that it is compared with comes on top
constexpr double kBlock_s = 0.25;
constexpr double kAboveUsual = 12.0;   // our choice, after open recordings of quick contractions
constexpr double kAboveNear = 7.0;     // likewise
constexpr double kNear_s = 0.02;
constexpr double kItself_s = 0.001;
constexpr double kMargin_s = 0.002;    // what a recorder's own filter smears

std::vector<float> differences(std::span<const float> samples, std::size_t reach) {
    std::vector<float> out(samples.size(), std::nanf(""));
    for (std::size_t i = reach; i + reach < samples.size(); ++i) {
        out[i] = samples[i] - 0.5F * (samples[i - reach] + samples[i + reach]);
    }
    return out;
}

// 1.4826 times the median of |d|: the standard deviation, were the block Gaussian.
float block_scale(std::span<const float> block) {
    std::vector<float> sizes;
    for (const float d : block) {
        if (!std::isnan(d)) sizes.push_back(std::abs(d));
    }
    if (sizes.empty()) return 0.0F;
    const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
    std::nth_element(sizes.begin(), middle, sizes.end());
    return 1.4826F * *middle;
}

// The largest scale of each block and its neighbours.
std::vector<float> block_scales(std::span<const float> differences, std::size_t block) {
    std::vector<float> own;
    for (std::size_t begin = 0; begin < differences.size(); begin += block) {
        own.push_back(block_scale(differences.subspan(begin, std::min(block, differences.size() - begin))));
    }
    std::vector<float> out(own.size());
    for (std::size_t b = 0; b < own.size(); ++b) {
        out[b] = *std::max_element(own.begin() + static_cast<std::ptrdiff_t>(b - std::min<std::size_t>(b, 1)),
                                   own.begin() + static_cast<std::ptrdiff_t>(std::min(b + 2, own.size())));
    }
    return out;
}

// Standard deviation within `near` samples of i, the `itself` nearest left out.
double spread_near(std::span<const float> samples, std::size_t i, std::size_t near, std::size_t itself) {
    double sum = 0.0, squares = 0.0, count = 0.0;
    for (std::size_t k = i - std::min(i, near); k < std::min(i + near + 1, samples.size()); ++k) {
        if (std::isnan(samples[k]) || (k + itself >= i && k <= i + itself)) continue;
        const double v = static_cast<double>(samples[k]) - samples[i];  // near the level of i: no loss of digits
        sum += v;
        squares += v * v;
        count += 1.0;
    }
    return count < 2.0 ? INFINITY : std::sqrt(std::max(0.0, squares / count - sum / count * (sum / count)));
}

}  // namespace

Ranges find_spikes(std::span<const float> samples, Hertz rate) {
    const auto in_samples = [&](double s) { return std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(s * rate.value))); };
    const std::size_t reach = in_samples(kReach_s), block = in_samples(kBlock_s);
    const auto difference = differences(samples, reach);
    const auto scales = block_scales(difference, block);
    Ranges found = ranges_where(samples.size(), [&](std::size_t i) {
        const double size = std::abs(difference[i]), usual = scales[i / block];
        return usual > 0.0 && size > kAboveUsual * usual &&
               size > kAboveNear * spread_near(samples, i, in_samples(kNear_s), in_samples(kItself_s));
    });
    std::erase_if(found, [&](SampleRange r) { return r.size() > in_samples(kWidest_s) + 2 * reach; });
    return widened(std::move(found), in_samples(kMargin_s), samples.size());
}

}  // namespace tracehold
