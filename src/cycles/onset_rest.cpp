#include "cycles/onset_rest.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "cycles/rest_variation.hpp"
#include "tracehold/core/many_values.hpp"
#include "tracehold/statistics/summary.hpp"

namespace tracehold {

// Idea: what rest looks like in this session, from all blocks well away from the cues. Medians say first what is usual;
// blocks that stand out of it (bursts, beats) are left out of the mean. A bin in which rest has heavy tails all the
// time, as heart beats make them in the low bins, counts less in every likelihood: 1 / r^2 with r = variance of energy
// over its square mean. Limits: where the cues leave no rest, the quietest fifth of the session stands in for it.

namespace {

// Standard deviations of a block's mean energy at rest, our choice: 1 block in 10^3 of rest
constexpr double kStandOut = 4.5;

double median_of(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

std::vector<std::size_t> rest_blocks(const BlockEnergies& e, std::span<const TimeSpan> windows) {
    const std::vector<unsigned char> far = far_from_cues(e.origin_s, e.hop_s, e.size(), windows);
    std::vector<std::size_t> out;
    for (std::size_t b = 0; b < e.size(); ++b)
        if (e.valid[b] && far[b]) out.push_back(b);
    return out;
}

double total(std::span<const float> energy) { return std::accumulate(energy.begin(), energy.end(), 0.0); }

std::vector<double> mean_energy(const BlockEnergies& e, std::span<const std::size_t> blocks) {
    std::vector<double> mean(e.bins, 0.0);
    for (const std::size_t b : blocks)
        for (std::size_t k = 0; k < e.bins; ++k) mean[k] += static_cast<double>(e.at(b)[k]);
    for (double& m : mean) m /= std::max<double>(1.0, static_cast<double>(blocks.size()));
    return mean;
}

// The quietest fifth of all blocks: what stands in for rest where the session has none to speak of.
std::vector<std::size_t> quiet_blocks(const BlockEnergies& e) {
    std::vector<std::size_t> all;
    for (std::size_t b = 0; b < e.size(); ++b)
        if (e.valid[b]) all.push_back(b);
    std::stable_sort(all.begin(), all.end(), [&](auto a, auto b) { return total(e.at(a)) < total(e.at(b)); });
    all.resize(all.size() / 5);
    std::sort(all.begin(), all.end());
    return all;
}

std::vector<double> medians(const BlockEnergies& e, std::span<const std::size_t> blocks) {
    constexpr double kMedianOfMean = 0.6931471805599453;  // of the squared modulus of a Gaussian pair with mean 1
    std::vector<double> out;
    std::vector<float> values(blocks.size());
    for (std::size_t k = 0; k < e.bins; ++k) {
        for (std::size_t i = 0; i < blocks.size(); ++i) values[i] = e.at(blocks[i])[k];
        out.push_back(static_cast<double>(value_of_rank(values, values.size() / 2)) / kMedianOfMean);
    }
    return out;
}

// Heavy tails: variance of energy over squared mean is 1 for Gaussian rest (two halves of a pair), more with beats in
// it. Taken per 2-s run of rest blocks and then the median run, so that one burst in a session costs nothing.
std::vector<double> bin_weights(const BlockEnergies& e, std::span<const std::size_t> blocks) {
    constexpr std::size_t kRun = 200;
    constexpr double kTolerated = 1.5;
    std::vector<std::vector<double>> ratios(e.bins);
    std::vector<double> sum(e.bins), squares(e.bins);
    for (std::size_t from = 0; from + kRun <= blocks.size(); from += kRun) {
        std::fill(sum.begin(), sum.end(), 0.0);
        std::fill(squares.begin(), squares.end(), 0.0);
        for (const std::size_t b : blocks.subspan(from, kRun)) {
            for (std::size_t k = 0; k < e.bins; ++k) {
                const double x = static_cast<double>(e.at(b)[k]);
                sum[k] += x;
                squares[k] += x * x;
            }
        }
        for (std::size_t k = 0; k < e.bins; ++k) ratios[k].push_back(sum[k] > 0.0 ? squares[k] * kRun / (sum[k] * sum[k]) - 1.0 : 1.0);
    }
    std::vector<double> weights(e.bins, 1.0);
    for (std::size_t k = 0; k < e.bins && !ratios[k].empty(); ++k) {
        const double r = median_of(std::move(ratios[k]));
        if (r > kTolerated) weights[k] = 1.0 / (r * r);
    }
    return weights;
}

TRACEHOLD_WIDE double sum_of_all(std::span<const float> values) { return sum_of_valid(values, [](auto&) {}).terms; }

}  // namespace

BlockRange mirrored(BlockRange range, std::size_t blocks) { return {blocks - range.end, blocks - range.begin}; }

RelativeEnergy::RelativeEnergy(std::span<const double> level, std::span<const double> weight) {
    const double weights = std::accumulate(weight.begin(), weight.end(), 0.0);
    for (std::size_t k = 0; k < level.size(); ++k) share_.push_back(weight[k] / weights / level[k]);
    limit_ = 1.0 + kStandOut / std::sqrt(std::max(weights, 1.0));
}

std::vector<double> mean_energy(const BlockEnergies& e, BlockRange range) {
    std::vector<std::size_t> blocks;
    for (std::size_t b = range.begin; b < range.end; ++b)
        if (e.valid[b]) blocks.push_back(b);
    return mean_energy(e, blocks);
}

SessionRest session_rest(const BlockEnergies& e, std::span<const TimeSpan> windows) {
    constexpr std::size_t kEnough = 50;       // blocks
    constexpr double kMeanOfQuietest = 0.65;  // of the quietest fifth of blocks over the mean of all, nine bins
    constexpr double kLeast = 1e-6;           // of the session's mean: where rest is digital silence
    SessionRest rest{{}, std::vector<double>(e.bins, 1.0), std::vector<unsigned char>(e.size(), 0)};
    std::vector<std::size_t> blocks = rest_blocks(e, windows);
    for (const std::size_t b : blocks) rest.is_rest[b] = 1;
    const bool quietest = blocks.size() < kEnough;
    if (quietest) blocks = quiet_blocks(e);
    if (blocks.empty()) return rest;
    if (!quietest) rest.weight = bin_weights(e, blocks);
    for (double& weight : rest.weight) weight *= e.degrees;
    const double least = kLeast * sum_of_all(e.energy) / static_cast<double>(e.size());
    std::vector<double> level = medians(e, blocks);
    for (double& l : level) l = std::max({l, least, 1e-30});
    std::erase_if(blocks, [&, usual = RelativeEnergy(level, rest.weight)](std::size_t b) { return usual.stands_out(e.at(b)); });
    rest.level = blocks.size() < kEnough / 5 ? level : mean_energy(e, blocks);
    for (double& l : rest.level) l = std::max({quietest ? l / kMeanOfQuietest : l, least, 1e-30});
    return rest;
}

double local_rest(const BlockEnergies& e, const SessionRest& rest, BlockRange range) {
    constexpr std::size_t kEnough = 30;
    double sum = 0.0;
    std::size_t n = 0;
    const RelativeEnergy relative(rest);
    std::vector<double> values;
    for (std::size_t b = range.begin; b < range.end; ++b)
        if (rest.is_rest[b]) values.push_back(relative.of(e.at(b)));
    if (values.size() < kEnough) return 1.0;
    const double limit = 2.5 * median_of(values);
    for (const double v : values)
        if (v <= limit) sum += v, ++n;
    return std::clamp(sum / static_cast<double>(n), 0.2, 5.0);
}

}  // namespace tracehold
