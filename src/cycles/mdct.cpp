#include "cycles/mdct.hpp"

#include <algorithm>
#include <array>
#include <cmath>
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
    return std::all_of(samples.begin(), samples.end(), [](float x) { return std::isfinite(x); });
}

// One bin of many blocks at once, as neighbours in memory.
constexpr std::size_t kTogether = 64;

// sum over n of basis[n] x[n], so few blocks at a time that their sums stay in registers.
[[gnu::always_inline]] inline void project(const double* samples, const double* basis, std::size_t bins, std::size_t size, double* out) {
    constexpr std::size_t kPart = kTogether / 2;
    for (std::size_t part = 0; part < kTogether; part += kPart) {
        double sums[kPart] = {};
        for (std::size_t n = 0; n < size; ++n) {
            const double* x = samples + n * kTogether + part;
            for (std::size_t i = 0; i < kPart; ++i) sums[i] += x[i] * basis[n * bins];
        }
        for (std::size_t i = 0; i < kPart; ++i) out[part + i] = sums[i];
    }
}

// samples: [n][block]. energy: of bin k in each block.
TRACEHOLD_WIDE void add_bin(const double* samples, const MdctBasis& basis, std::size_t k, double* energy) {
    double c[kTogether], s[kTogether];
    project(samples, basis.cosine.data() + k, basis.bins, 2 * basis.hop, c);
    project(samples, basis.sine.data() + k, basis.bins, 2 * basis.hop, s);
    for (std::size_t i = 0; i < kTogether; ++i) energy[i] = 0.5 * (c[i] * c[i] + s[i] * s[i]);
}

struct Batch {
    std::vector<double> samples;
    std::array<std::size_t, kTogether> block{};
    std::size_t count = 0;

    explicit Batch(std::size_t hop) : samples(2 * hop * kTogether) {}

    void take(std::size_t b, std::span<const float> of_block) {
        for (std::size_t n = 0; n < of_block.size(); ++n)
            samples[n * kTogether + count] = static_cast<double>(of_block[n]);
        block[count++] = b;
    }
    void put_down(const MdctBasis& basis, BlockEnergies& out) {
        double energy[kTogether];
        for (std::size_t k = 0; k < basis.bins; ++k) {
            add_bin(samples.data(), basis, k, energy);
            for (std::size_t i = 0; i < count; ++i) out.energy[block[i] * out.bins + k] = static_cast<float>(energy[i]);
        }
        count = 0;
    }
};

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
    Batch batch(hop);
    for (std::size_t b = 1; (b + 1) * hop <= uv.size(); ++b) {
        const std::span<const float> samples = uv.subspan((b - 1) * hop, 2 * hop);
        if (!all_finite(samples)) continue;
        out.valid[b] = 1;
        batch.take(b, samples);
        if (batch.count == kTogether) batch.put_down(basis, out);
    }
    batch.put_down(basis, out);
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
