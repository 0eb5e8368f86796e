// Each sample is compared with the mean of the two that stand 1 ms before and after it: slow waves and heart beats
// leave that difference small. A spike's difference
//   - is 12 times the usual one of its quarter second (median: a spike itself does not count), and
//   - 7 times the standard deviation of the trace within 20 ms, itself and 1 ms either side left out, and 1 ms of
//     the largest values (another spike). Single motor
//   units, which are as
//     high but last 5 ms and more, stay below 5.
// Where a quarter second beside it is livelier, the usual size is taken from there, so that the first samples of an
// abrupt contraction are measured by the contraction; unless it is 15 times the standard deviation, which no
// contraction begins with.
#include "clean/spikes.hpp"

#include <algorithm>
#include <cmath>

#include "clean/frames.hpp"

namespace tracehold {
namespace {

constexpr double kReach_s = 0.001;   // spikes are narrower, muscle is not; our choice
constexpr double kWidest_s = 0.001;  // its shadow at the neighbours that it is compared with comes on top
constexpr double kLevelBlock_s = 0.25;
constexpr double kAboveUsual = 12.0;                      // our choice, after open recordings of quick contractions
constexpr double kAboveNear = 7.0, kFarAboveNear = 15.0;  // likewise
constexpr double kNear_s = 0.02;
constexpr double kItself_s = 0.001;
constexpr std::size_t kSideBySide = 2;  // so near that their shadows touch
constexpr double kMargin_s = 0.002;  // what a recorder's own filter smears

// Sizes of the differences of those samples; NaN where one of the three is missing.
void put_sizes(std::span<const float> samples, SampleRange block, std::size_t reach, std::vector<float>& sizes) {
    sizes.assign(block.size(), std::nanf(""));
    const std::size_t end = std::min(block.end, samples.size() - std::min(samples.size(), reach));
    for (std::size_t i = std::max(block.begin, reach); i < end; ++i)
        sizes[i - block.begin] = std::abs(samples[i] - 0.5F * (samples[i - reach] + samples[i + reach]));
}

// True if no size of the block stands out of its usual one, told without finding the median: at least half of them are so
// large that the largest would not stand out of any of these. Nearly every block is such a one.
bool is_calm(std::span<const float> sizes) {
    constexpr float kSafely = 1.001F;  // beyond all rounding
    return median_size_reaches(sizes, kSafely * largest_size(sizes) / (static_cast<float>(kAboveUsual) * static_cast<float>(kGaussian)));
}

// 1.4826 times the median of |d|: the standard deviation, were the block Gaussian.
float scale_of(std::vector<float> sizes) {
    std::erase_if(sizes, [](float size) { return std::isnan(size); });
    if (sizes.empty()) return 0.0F;
    const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
    std::nth_element(sizes.begin(), middle, sizes.end());
    return static_cast<float>(kGaussian) * *middle;
}

// Standard deviation within `near` samples of i, the `itself` nearest left out, and as many of the largest: another
// spike.
double spread_near(std::span<const float> samples, std::size_t i, std::size_t near, std::size_t itself) {
    std::vector<double> values;
    for (std::size_t k = i - std::min(i, near); k < std::min(i + near + 1, samples.size()); ++k) {
        if (std::isnan(samples[k]) || (k + itself >= i && k <= i + itself)) continue;
        values.push_back(samples[k]);
    }
    if (values.size() < 2 * itself + 2) return INFINITY;
    std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2), values.end());
    const double middle = values[values.size() / 2];
    for (double& v : values) v = std::abs(v - middle);
    const auto kept = values.end() - static_cast<std::ptrdiff_t>(itself);
    std::nth_element(values.begin(), kept, values.end());
    double squares = 0.0;
    for (auto v = values.begin(); v != kept; ++v) squares += *v * *v;
    return std::sqrt(squares / static_cast<double>(kept - values.begin()));
}

}  // namespace

Ranges find_spikes(std::span<const float> samples, Hertz rate) {
    const auto in_samples = [&](double s) {
        return std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(s * rate.value)));
    };
    const std::size_t reach = in_samples(kReach_s), block = in_samples(kLevelBlock_s);
    std::vector<float> sizes, sizes_beside;
    const auto block_at = [&](std::size_t begin) { return SampleRange{begin, std::min(begin + block, samples.size())}; };
    const auto scale_at = [&](std::size_t begin) {
        put_sizes(samples, block_at(begin), reach, sizes_beside);
        return scale_of(sizes_beside);
    };
    Ranges found;
    for (std::size_t begin = 0; begin < samples.size(); begin += block) {
        put_sizes(samples, block_at(begin), reach, sizes);
        if (is_calm(sizes)) continue;
        const float usual = scale_of(sizes);
        if (!(usual > 0.0F)) continue;
        // The largest of the block and its neighbours.
        float livelier = usual;
        if (begin > 0) livelier = std::max(livelier, scale_at(begin - block));
        if (begin + block < samples.size()) livelier = std::max(livelier, scale_at(begin + block));
        for (std::size_t k = 0; k < sizes.size(); ++k) {
            const std::size_t i = begin + k;
            const double size = sizes[k];
            if (!(size > kAboveUsual * usual)) continue;
            const double near = spread_near(samples, i, in_samples(kNear_s), in_samples(kItself_s));
            if (!(size > (size > kAboveUsual * livelier ? kAboveNear : kFarAboveNear) * near)) continue;
            if (found.empty() || found.back().end != i) found.push_back({i, i});
            found.back().end = i + 1;
        }
    }
    const std::size_t widest = kSideBySide * (in_samples(kWidest_s) + 2 * reach);
    std::erase_if(found, [&](SampleRange r) { return r.size() > widest; });
    return widened(std::move(found), in_samples(kMargin_s), samples.size());
}

}  // namespace tracehold
