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
#include <iterator>

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

// Sizes of the differences; NaN where one of the three is missing.
std::vector<float> differences(std::span<const float> samples, std::size_t reach) {
    std::vector<float> out(samples.size(), std::nanf(""));
    for (std::size_t i = reach; i + reach < samples.size(); ++i) {
        out[i] = std::abs(samples[i] - 0.5F * (samples[i - reach] + samples[i + reach]));
    }
    return out;
}

// True if no size of the block stands out of its usual one, told without finding the median: at least half of them are so
// large that the largest would not stand out of any of these. Nearly every block is such a one.
bool is_calm(std::span<const float> sizes) {
    constexpr float kSafely = 1.001F;  // beyond all rounding
    return median_size_reaches(sizes, kSafely * largest_size(sizes) / (static_cast<float>(kAboveUsual) * static_cast<float>(kGaussian)));
}

// 1.4826 times the median of |d|: the standard deviation, were the block Gaussian.
float block_scale(std::span<const float> block) {
    std::vector<float> sizes;
    sizes.reserve(block.size());
    std::copy_if(block.begin(), block.end(), std::back_inserter(sizes), [](float size) { return !std::isnan(size); });
    if (sizes.empty()) return 0.0F;
    const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
    std::nth_element(sizes.begin(), middle, sizes.end());
    return static_cast<float>(kGaussian) * *middle;
}

struct Usual {
    float own = 0.0F;       // of the block
    float livelier = 0.0F;  // the largest of the block and its neighbours
};

Usual usual_size(std::span<const float> sizes, std::size_t block, std::size_t b) {
    Usual out;
    for (std::size_t k = b - std::min<std::size_t>(b, 1); k < b + 2 && k * block < sizes.size(); ++k) {
        const float scale = block_scale(sizes.subspan(k * block, std::min(block, sizes.size() - k * block)));
        out.livelier = std::max(out.livelier, scale);
        if (k == b) out.own = scale;
    }
    return out;
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
    const auto sizes = differences(samples, reach);
    const auto stands_out = [&](std::size_t i, const Usual& u) {
        const double size = sizes[i];
        if (!(size > kAboveUsual * u.own)) return false;
        const double near = spread_near(samples, i, in_samples(kNear_s), in_samples(kItself_s));
        return size > (size > kAboveUsual * u.livelier ? kAboveNear : kFarAboveNear) * near;
    };
    Ranges found;
    for (std::size_t begin = 0; begin < sizes.size(); begin += block) {
        const std::size_t end = std::min(begin + block, sizes.size());
        if (is_calm(std::span(sizes).subspan(begin, end - begin))) continue;
        const Usual usual = usual_size(sizes, block, begin / block);
        for (std::size_t i = begin; i < end && usual.own > 0.0F; ++i) {
            if (!stands_out(i, usual)) continue;
            if (found.empty() || found.back().end != i) found.push_back({i, i});
            found.back().end = i + 1;
        }
    }
    const std::size_t widest = kSideBySide * (in_samples(kWidest_s) + 2 * reach);
    std::erase_if(found, [&](SampleRange r) { return r.size() > widest; });
    return widened(std::move(found), in_samples(kMargin_s), samples.size());
}

}  // namespace tracehold
