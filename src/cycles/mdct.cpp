#include "cycles/mdct.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "tracehold/core/memory.hpp"
#include "tracehold/core/side_by_side.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {

// Idea: a lapped orthonormal transform (MDCT: Princen, Johnson & Bradley 1987, from memory) turns the trace into
// coefficients that are nearly independent between blocks and bins, as good as whitening it for rest and plateau at
// once, while a block still knows its time to a few milliseconds. With hop M, window w(n) = sin(pi (n + 1/2) / 2M), n =
// 0..2M-1:
//     c[k] = sqrt(2/M) sum w(n) x(n) cos(pi/M (n + 1/2 + M/2)(k + 1/2)),   bin k centred at (k + 1/2) fs / 2M
// One squared coefficient depends on the phase of the signal. So the sine transform s[k] is taken beside it and the
// energy is (c^2 + s^2) / 2: as many degrees of freedom as the trace holds, spread more evenly, and the same for a
// reversed trace. The window is half a wave as well, so that a windowed wave is the difference of two plain ones in the first
// hop of a block and their sum in the second. With e[j] = sum x(m) exp(i pi/M j (m + 1/2)) over one hop, a look that serves
// two blocks,
//     (c[k]^2 + s[k]^2) / 2 = |e[k + 1] - e[k] - (-1)^k (e'[k + 1] + e'[k])|^2 / 4M,   e of the first hop and e' of the second
// Limits: 10-ms hops blur what is shorter; bins are fs / 2M = 50 Hz wide and leak into their
// neighbours.

namespace {

constexpr double kHop_s = 0.01;          // our choice: shorter hops lose low bins, longer ones blur abrupt rises
constexpr std::size_t kShortestHop = 2;  // samples; below it there is no window to speak of
constexpr std::size_t kPart = 1024;      // hops that one thread looks at

// So many waves that their sums, of cosines and of sines, stay in registers.
constexpr std::size_t kFours = 3, kTogether = 4 * kFours;

// For each group of waves and each sample of a hop kTogether cosines, then as many sines: those of e[j] from j = first on.
struct Waves {
    std::size_t groups = 0;
    std::vector<double> values;
};

Waves make_waves(std::size_t hop, std::size_t first, std::size_t count) {
    Waves waves{(count + kTogether - 1) / kTogether, {}};
    for (std::size_t group = 0; group < waves.groups; ++group) {
        for (std::size_t m = 0; m < hop; ++m) {
            const auto phase = [&](std::size_t i) {
                const auto j = static_cast<double>(first + group * kTogether + i);
                return std::numbers::pi / static_cast<double>(hop) * j * (static_cast<double>(m) + 0.5);
            };
            for (std::size_t i = 0; i < kTogether; ++i) waves.values.push_back(std::cos(phase(i)));
            for (std::size_t i = 0; i < kTogether; ++i) waves.values.push_back(std::sin(phase(i)));
        }
    }
    return waves;
}

// e[j] of one hop, and a few values more, so that all bins have a four to be seen in.
struct HopSums {
    std::vector<double> real, imaginary;
    explicit HopSums(const Waves& waves) : real(waves.groups * kTogether + 4), imaginary(real) {}
};

TRACEHOLD_WIDE void look_at_hop(std::span<const float> samples, const Waves& waves, HopSums& out) {
    const double* wave = waves.values.data();
    for (std::size_t group = 0; group < waves.groups; ++group) {
        FourDoubles c[kFours] = {}, s[kFours] = {};
        for (const float sample : samples) {
            const double x = sample;
            for (std::size_t i = 0; i < kFours; ++i) c[i] += x * four_at(wave + 4 * i);
            for (std::size_t i = 0; i < kFours; ++i) s[i] += x * four_at(wave + kTogether + 4 * i);
            wave += 2 * kTogether;
        }
        for (std::size_t i = 0; i < kFours; ++i) four_at(&out.real[group * kTogether + 4 * i]) = c[i];
        for (std::size_t i = 0; i < kFours; ++i) four_at(&out.imaginary[group * kTogether + 4 * i]) = s[i];
    }
}

// first: k of the first bin.
TRACEHOLD_WIDE void fill_energies(const HopSums& before, const HopSums& behind, std::size_t first, std::size_t hop, std::span<float> energy) {
    const double even = first % 2 == 0 ? 1.0 : -1.0, scale = 0.25 / static_cast<double>(hop);
    const FourDoubles sign{even, -even, even, -even};
    const auto add = [&](const double* e, const double* of_next, FourDoubles& sum) {
        const FourDoubles both = four_at(e + 1) - four_at(e) - sign * (four_at(of_next + 1) + four_at(of_next));
        sum += scale * both * both;
    };
    for (std::size_t i = 0; i < energy.size(); i += 4) {
        FourDoubles four{};
        add(&before.real[i], &behind.real[i], four);
        add(&before.imaginary[i], &behind.imaginary[i], four);
        const std::size_t count = std::min<std::size_t>(4, energy.size() - i);
        if (count == 4) {
            for (std::size_t k = 0; k < 4; ++k) energy[i + k] = static_cast<float>(four[k]);
        } else {
            for (std::size_t k = 0; k < count; ++k) energy[i + k] = static_cast<float>(four[k]);
        }
    }
}

}  // namespace

BlockEnergies block_energies(std::span<const float> uv, Hertz rate, double low_hz, double high_hz) {
    const std::size_t hop = std::max(kShortestHop, static_cast<std::size_t>(std::lround(kHop_s * rate.value)));
    const double m = static_cast<double>(hop);
    const double bin_hz = rate.value / (2.0 * m);
    const double first_bin = std::max(0.0, std::ceil(low_hz / bin_hz - 0.5));
    const double last_bin = std::min(m - 1.0, std::floor(high_hz / bin_hz - 0.5));
    BlockEnergies out{m / rate.value, -0.5 / rate.value, 0, {}, {}};
    if (last_bin < first_bin) return out;
    const auto first = static_cast<std::size_t>(first_bin);
    out.bins = static_cast<std::size_t>(last_bin - first_bin) + 1;
    const std::size_t hops = uv.size() / hop;
    reserve_large(out.energy, (hops + 1) * out.bins);
    out.energy.assign((hops + 1) * out.bins, 0.0F);
    out.valid.assign(hops + 1, 0);
    const Waves waves = make_waves(hop, first, out.bins + 1);
    each_side_by_side((hops + kPart - 1) / kPart, [&](std::size_t part) {
        HopSums before(waves), here(waves);
        bool finite_before = false;
        const std::size_t begin = part * kPart, end = std::min(begin + kPart, hops);
        for (std::size_t b = std::max<std::size_t>(begin, 1) - 1; b < end; ++b) {
            look_at_hop(uv.subspan(b * hop, hop), waves, here);
            const bool finite = std::isfinite(here.real[0]);  // not where a single sample is not
            if (finite && finite_before) {
                out.valid[b] = 1;
                fill_energies(before, here, first, hop, std::span(out.energy).subspan(b * out.bins, out.bins));
            }
            std::swap(before, here);
            finite_before = finite;
        }
    });
    return out;
}

}  // namespace tracehold
