#include "clean/open_hum.hpp"

#include <algorithm>
#include <cmath>

#include "clean/frames.hpp"
#include "tracehold/core/many_values.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {
namespace {

constexpr double kShare = 0.7;       // of the block's power at mains and its harmonics; muscle alone stays below 0.2
constexpr double kAboveUsualHum = 5.0;  // times the hum of the tenth of the recording where it is lowest
constexpr double kAboveRest = 8.0;   // times the resting level: less could still be read after removal; our choice
constexpr double kHumMargin_s = 0.1;
constexpr double kBesideFull = 0.5;        // of that height: of a block beside such a one, which its hum reaches into; our choice
// Our choices for hum that comes and goes. A hold at less than 1.5 times rest is hardly told from it.
constexpr double kStandsOut = 1.5;    // times the resting level: hum that is there, and anything else that would be
constexpr double kAway = 1.0 / 3.0;   // of the hum's usual height where it is: where it is not
constexpr double kLeastThere = 0.05, kLeastAway = 0.1;  // of the recording
constexpr std::size_t kEdgeBlocks = 2;  // beside either, blocks hold some of both
// Our choices for hum of any height over less than the muscle's rest.
constexpr double kAboveLowest = 3.0;  // times the lowest hum; wobbling hum stays below 2
constexpr double kSilent = 0.7;       // of the resting level elsewhere: rest itself wanders by a tenth to a third
constexpr std::size_t kFewestSilent = 3;  // blocks; about a second

// What is masked counts as silent.
TRACEHOLD_WIDE double sum_of_squares(std::span<const float> uv) {
    return sum_of_valid(uv, [](auto& v) { v *= v; }).terms;
}

// The trace's own power is looked for only where the hum is large: hardly ever.
Ranges open_blocks(std::span<const float> uv, const LineBlocks& blocks, double rest_uv) {
    const std::vector<double> hum = hum_powers(blocks);
    std::vector<float> hum_uv;
    for (const double h : hum) hum_uv.push_back(static_cast<float>(std::sqrt(h)));
    const double least = std::max(kAboveUsualHum * valid_quantile(hum_uv, kLeastAway), kAboveRest * rest_uv);
    const auto fills = [&](std::size_t b, double from_uv) {
        if (hum_uv[b] < from_uv) return false;
        const double all = sum_of_squares(uv.subspan(b * blocks.hop, blocks.length)) / static_cast<double>(blocks.length);
        return all > 0.0 && static_cast<float>(hum[b] / all) >= kShare;
    };
    const auto part = [&](std::size_t b) { return b < hum_uv.size() && fills(b, kBesideFull * least); };
    Ranges out;
    for (std::size_t b = 0; b < blocks.blocks; ++b) {
        if (!fills(b, least)) continue;
        const std::size_t first = b - (b > 0 && part(b - 1) ? 1 : 0), last = b + (part(b + 1) ? 1 : 0);
        out.push_back({first * blocks.hop, std::min(last * blocks.hop + blocks.length, uv.size())});
    }
    return out;
}

// Of the blocks for which all within reach are so.
template <class IsSo>
std::vector<float> levels_inside(std::span<const double> powers, IsSo is_so) {
    std::vector<float> levels;
    for (std::size_t b = 0; b < powers.size(); ++b) {
        bool inside = true;
        const std::size_t last = std::min(b + kEdgeBlocks, powers.size() - 1);
        for (std::size_t k = b - std::min(b, kEdgeBlocks); k <= last; ++k) inside = inside && is_so(k);
        if (inside) levels.push_back(static_cast<float>(std::sqrt(powers[b])));
    }
    return levels;
}

// Of those within [begin, end) that stand at least `edge` blocks inside.
std::vector<float> levels_between(std::span<const double> powers, SampleRange run, std::size_t edge) {
    std::vector<float> levels;
    for (std::size_t b = run.begin + edge; b + edge < run.end; ++b) levels.push_back(static_cast<float>(std::sqrt(powers[b])));
    return levels;
}

}  // namespace

std::vector<double> hum_powers(const LineBlocks& blocks) {
    std::vector<std::complex<double>> gains;
    for (std::size_t h = 0; h < blocks.nominal_hz.size(); ++h)
        gains.push_back(blocks.window_gain(h, blocks.nominal_hz[h]));
    std::vector<double> out(blocks.blocks, 0.0);
    for (std::size_t b = 0; b < blocks.blocks; ++b)
        for (std::size_t h = 0; h < gains.size(); ++h) out[b] += blocks.power(h, b, gains[h]) / 2;
    return out;
}

std::vector<double> block_powers(std::span<const float> uv, const LineBlocks& blocks) {
    std::vector<double> out;
    double before = 0.0;  // of the half that a block shares with the one before it
    for (std::size_t b = 0; b <= blocks.blocks && blocks.blocks > 0; ++b) {
        const double half = sum_of_squares(uv.subspan(b * blocks.hop, blocks.hop));
        if (b > 0) out.push_back((before + half) / static_cast<double>(blocks.length));
        before = half;
    }
    return out;
}

bool hum_stands_alone(const HumPowers& powers, double rest_uv) {
    const auto& [before, hum, left] = powers;
    const double least = kStandsOut * rest_uv;
    const auto there = [&](std::size_t b) { return hum[b] > least * least && hum[b] >= kShare * before[b]; };
    const double usual_uv = valid_quantile(levels_inside(hum, there), 0.5);
    const auto elsewhere = [&](std::size_t b) { return !there(b); };
    const auto away = [&](std::size_t b) { return std::sqrt(hum[b]) <= kAway * usual_uv; };
    const std::vector<float> beneath = levels_inside(left, there), beside = levels_inside(left, elsewhere);
    const auto too_few = [&](const std::vector<float>& levels, double share) {
        return levels.empty() || static_cast<double>(levels.size()) < share * static_cast<double>(hum.size());
    };
    if (too_few(beneath, kLeastThere) || too_few(levels_inside(hum, away), kLeastAway) || beside.empty()) return false;
    return valid_quantile(beneath, 0.9) < least && valid_quantile(beside, 0.97) < least;
}

Ranges find_silent_hum(const HumPowers& powers, const LineBlocks& blocks, std::size_t size) {
    const auto& [before, hum, left] = powers;
    const double lowest_uv = std::sqrt(valid_quantile(std::vector<float>(hum.begin(), hum.end()), kLeastAway));
    const auto there = [&](std::size_t b) { return hum[b] >= kShare * before[b] && std::sqrt(hum[b]) > kAboveLowest * lowest_uv; };
    const std::vector<float> beside = levels_inside(left, [&](std::size_t b) { return !there(b); });
    Ranges out;
    if (static_cast<double>(beside.size()) < kLeastAway * static_cast<double>(hum.size())) return out;
    const double silent_uv = kSilent * valid_quantile(beside, 0.1);
    for (const SampleRange run : ranges_where(hum.size(), there)) {
        const std::vector<float> beneath = levels_between(left, run, kEdgeBlocks);
        if (beneath.size() < kFewestSilent || !(valid_quantile(beneath, 0.9) < silent_uv)) continue;
        out.push_back({run.begin * blocks.hop, std::min((run.end - 1) * blocks.hop + blocks.length, size)});
    }
    return widened(std::move(out), blocks.hop, size);
}

Ranges find_open_hum(std::span<const float> uv, Hertz rate, std::span<const LineBlocks> at_50_and_60, double rest_uv) {
    Ranges out;
    for (const LineBlocks& blocks : at_50_and_60) {
        const Ranges found = open_blocks(uv, blocks, rest_uv);
        out.insert(out.end(), found.begin(), found.end());
    }
    return widened(std::move(out), static_cast<std::size_t>(kHumMargin_s * rate.value), uv.size());
}

Ranges find_open_hum(std::span<const float> uv, Hertz rate, Hertz highest) {
    return find_open_hum(uv, rate, line_blocks(uv, rate, kMains_hz, highest), resting_level(half_second_powers(short_powers(uv, rate))));
}

}  // namespace tracehold
