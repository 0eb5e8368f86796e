#include "clean/open_hum.hpp"

#include <algorithm>
#include <cmath>

#include "clean/frames.hpp"

namespace tracehold {
namespace {

constexpr double kShare = 0.7;       // of the block's power at mains and its harmonics; muscle alone stays below 0.2
constexpr double kAboveUsual = 5.0;  // times the usual hum
constexpr double kAboveRest = 8.0;   // times the resting level: less could still be read after removal; our choice
constexpr double kMargin_s = 0.1;

double power(std::span<const float> uv) {
    double sum = 0.0;
    for (const float v : uv) sum += std::isnan(v) ? 0.0 : static_cast<double>(v) * v;
    return sum / static_cast<double>(uv.size());
}

// Mean square of the hum in each block.
std::vector<double> hum_powers(const LineBlocks& blocks) {
    std::vector<std::complex<double>> gains;
    for (std::size_t h = 0; h < blocks.nominal_hz.size(); ++h)
        gains.push_back(blocks.window_gain(h, blocks.nominal_hz[h]));
    std::vector<double> out(blocks.blocks, 0.0);
    for (std::size_t b = 0; b < blocks.blocks; ++b)
        for (std::size_t h = 0; h < gains.size(); ++h) out[b] += blocks.power(h, b, gains[h]) / 2;
    return out;
}

// The trace's own power is looked for only where the hum is large: hardly ever.
Ranges open_blocks(std::span<const float> uv, const LineBlocks& blocks, double rest_uv) {
    const std::vector<double> hum = hum_powers(blocks);
    std::vector<float> hum_uv;
    for (const double h : hum) hum_uv.push_back(static_cast<float>(std::sqrt(h)));
    const double least = std::max(kAboveUsual * valid_quantile(hum_uv, 0.5), kAboveRest * rest_uv);
    Ranges out;
    for (std::size_t b = 0; b < blocks.blocks; ++b) {
        if (hum_uv[b] < least) continue;
        const double all = power(uv.subspan(b * blocks.hop, blocks.length));
        if (!(all > 0.0) || static_cast<float>(hum[b] / all) < kShare) continue;
        out.push_back({b * blocks.hop, std::min(b * blocks.hop + blocks.length, uv.size())});
    }
    return out;
}

}  // namespace

Ranges find_open_hum(std::span<const float> uv, Hertz rate, std::span<const LineBlocks> at_50_and_60, double rest_uv) {
    Ranges out;
    for (const LineBlocks& blocks : at_50_and_60) {
        const Ranges found = open_blocks(uv, blocks, rest_uv);
        out.insert(out.end(), found.begin(), found.end());
    }
    return widened(std::move(out), static_cast<std::size_t>(kMargin_s * rate.value), uv.size());
}

Ranges find_open_hum(std::span<const float> uv, Hertz rate, Hertz highest) {
    return find_open_hum(uv, rate, line_blocks(uv, rate, kMains_hz, highest), resting_level(short_powers(uv, rate)));
}

}  // namespace tracehold
