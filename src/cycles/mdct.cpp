#include "cycles/mdct.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {

// Idea: a lapped orthonormal transform (MDCT: Princen, Johnson & Bradley 1987, from memory) turns the trace into
// coefficients that are nearly independent between blocks and bins, as good as whitening it for rest and plateau at
// once, while a block still knows its time to a few milliseconds. With hop M, window w(n) = sin(pi (n + 1/2) / 2M), n =
// 0..2M-1:
//     c[k] = sqrt(2/M) sum w(n) x(n) cos(pi/M (n + 1/2 + M/2)(k + 1/2)),   bin k centred at (k + 1/2) fs / 2M
// One squared coefficient depends on the phase of the signal. So the sine transform s[k] is taken beside it and the
// energy is (c^2 + s^2) / 2: as many degrees of freedom as the trace holds, spread more evenly, and the same for a
// reversed trace. Limits: 10-ms hops blur what is shorter; bins are fs / 2M = 50 Hz wide and leak into their
// neighbours.

namespace {

constexpr double kHop_s = 0.01;          // our choice: shorter hops lose low bins, longer ones blur abrupt rises
constexpr std::size_t kShortestHop = 2;  // samples; below it there is no window to speak of

bool all_finite(std::span<const float> samples) {
    int other = 0;  // looks at all of them, many at once
    for (const float x : samples) other |= std::abs(x) <= std::numeric_limits<float>::max() ? 0 : 1;
    return other == 0;
}

// So many bins that their sums, of cosines and of sines, stay in registers.
constexpr std::size_t kFours = 3, kTogether = 4 * kFours;

// For each sample of a block kTogether cosines, then as many sines: those of the bins from `first` on, zeros behind the last.
std::vector<double> bins_side_by_side(const MdctBasis& basis, std::size_t first) {
    std::vector<double> out(2 * basis.hop * 2 * kTogether);
    for (std::size_t n = 0; n < 2 * basis.hop; ++n) {
        for (std::size_t k = first; k < std::min(first + kTogether, basis.bins); ++k) {
            out[2 * n * kTogether + k - first] = basis.cosine[n * basis.bins + k];
            out[(2 * n + 1) * kTogether + k - first] = basis.sine[n * basis.bins + k];
        }
    }
    return out;
}

// energy: kTogether of them.
TRACEHOLD_WIDE void energies_of(std::span<const float> samples, const double* basis, double* energy) {
    FourDoubles c[kFours] = {}, s[kFours] = {};
    for (const float sample : samples) {
        const double x = sample;
        for (std::size_t i = 0; i < kFours; ++i) c[i] += x * four_at(basis + 4 * i);
        for (std::size_t i = 0; i < kFours; ++i) s[i] += x * four_at(basis + kTogether + 4 * i);
        basis += 2 * kTogether;
    }
    for (std::size_t i = 0; i < kFours; ++i) four_at(energy + 4 * i) = 0.5 * (c[i] * c[i] + s[i] * s[i]);
}

}  // namespace

MdctBasis make_mdct_basis(std::size_t hop, std::size_t first_bin, std::size_t bins) {
    MdctBasis basis{hop, first_bin, bins, {}, {}};
    const double m = static_cast<double>(hop);
    for (std::size_t n = 0; n < 2 * hop; ++n) {
        const double at = static_cast<double>(n) + 0.5;
        const double window = std::sqrt(2.0 / m) * std::sin(std::numbers::pi * at / (2.0 * m));
        for (std::size_t k = first_bin; k < first_bin + bins; ++k) {
            const double phase = std::numbers::pi / m * (at + m / 2.0) * (static_cast<double>(k) + 0.5);
            basis.cosine.push_back(window * std::cos(phase));
            basis.sine.push_back(window * std::sin(phase));
        }
    }
    return basis;
}

BlockEnergies block_energies(std::span<const float> uv, Hertz rate, double low_hz, double high_hz) {
    const std::size_t hop = std::max(kShortestHop, static_cast<std::size_t>(std::lround(kHop_s * rate.value)));
    const double m = static_cast<double>(hop);
    const double bin_hz = rate.value / (2.0 * m);
    const double first = std::max(0.0, std::ceil(low_hz / bin_hz - 0.5));
    const double last = std::min(m - 1.0, std::floor(high_hz / bin_hz - 0.5));
    BlockEnergies out{m / rate.value, -0.5 / rate.value, 0, {}, {}};
    if (last < first) return out;
    out.bins = static_cast<std::size_t>(last - first) + 1;
    const MdctBasis basis = make_mdct_basis(hop, static_cast<std::size_t>(first), out.bins);
    const std::size_t blocks = uv.size() / hop + 1;
    out.energy.assign(blocks * out.bins, 0.0F);
    out.valid.assign(blocks, 0);
    for (std::size_t b = 1; (b + 1) * hop <= uv.size(); ++b) out.valid[b] = all_finite(uv.subspan((b - 1) * hop, 2 * hop)) ? 1 : 0;
    for (std::size_t k = 0; k < out.bins; k += kTogether) {
        const std::vector<double> some = bins_side_by_side(basis, k);
        double energy[kTogether];
        for (std::size_t b = 1; b < blocks; ++b) {
            if (!out.valid[b]) continue;
            energies_of(uv.subspan((b - 1) * hop, 2 * hop), some.data(), energy);
            for (std::size_t i = k; i < std::min(k + kTogether, out.bins); ++i)
                out.energy[b * out.bins + i] = static_cast<float>(energy[i - k]);
        }
    }
    return out;
}

BlockEnergies reversed(const BlockEnergies& blocks) {
    BlockEnergies out = blocks;
    const std::size_t n = blocks.size();
    for (std::size_t b = 0; b < n; ++b) {
        out.valid[b] = blocks.valid[n - 1 - b];
        std::copy_n(blocks.at(n - 1 - b).begin(), blocks.bins,
                    out.energy.begin() + static_cast<std::ptrdiff_t>(b * blocks.bins));
    }
    return out;
}

}  // namespace tracehold
