// One look of half a second shows strong hum that comes briefly; three together, turned back by the phase of the mains, show hum
// of half of muscle's RMS, which one look cannot part from muscle.
#include "clean/left_hum.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>

#include "clean/frames.hpp"

namespace tracehold {
namespace {

// Our choices.
constexpr double kLeastShare = 0.2;  // of the power: hum that makes amplitudes read 12 % too high
constexpr double kBeside = 0.25;     // of the sureness is enough beside hum that is sure
constexpr double kTooShort_s = 1.0;  // between two stretches of hum: three looks do not fit in

// sure: |A|^2 over its variance that noise passes less than once in a million looks, where that is known from ten bins a look that
// are as good as six: (1 + sure / n)^-n with n = 6 for one look and 17 for three. variance: of the mean of so many looks, over that of
// one; for three Hann windows that overlap by half, neighbours share a sixth. Our derivation.
struct Together {
    std::size_t looks;
    double sure, variance;
};
constexpr std::array kTogether{Together{1, 56.0, 1.0}, Together{3, 22.0, (1.0 + 4.0 / 3.0 / 6.0) / 3.0}};

// The power of one harmonic in so many looks from each on, added where it is at least that sure; of multiples only beside the mains
// frequency itself, since other tones and pulses have lines at some of them too.
void add_clear(const LineBlocks& blocks, std::size_t harmonic, const Together& together, double sure, std::vector<double>& power) {
    const double hz = blocks.nominal_hz[harmonic];
    const std::complex<double> gain = blocks.window_gain(harmonic, hz);
    for (std::size_t b = 0; b < power.size(); ++b) {
        if (harmonic > 0 && !(power[b] > 0.0)) continue;
        double variance = 0.0, most = 0.0;
        bool seen = true;
        for (std::size_t k = b; k < b + together.looks; ++k) {
            const double v = blocks.variance(harmonic, k, gain);
            variance += v;
            most += blocks.power(harmonic, k, gain);
            seen = seen && v > 0.0;
        }
        const auto looks = static_cast<double>(together.looks);
        const double least = sure * together.variance * variance / looks;
        if (!seen || most / looks <= least) continue;  // no phases would make more of them
        std::complex<double> sum;
        for (std::size_t k = b; k < b + together.looks; ++k) sum += blocks.amplitude(harmonic, k, hz, gain);
        const double line = std::norm(sum / looks);
        if (line > least) power[b] += line / 2;
    }
}

// Looks in which hum is that share and, times `part`, that sure.
Ranges looks_with_hum(std::span<const float> uv, std::span<const LineBlocks> at_50_and_60, double part) {
    Ranges out;
    for (const LineBlocks& blocks : at_50_and_60) {
        for (const Together& together : kTogether) {
            if (blocks.blocks < together.looks) continue;
            std::vector<double> hum(blocks.blocks - together.looks + 1, 0.0);
            for (std::size_t h = 0; h < blocks.nominal_hz.size(); ++h) add_clear(blocks, h, together, part * together.sure, hum);
            for (std::size_t b = 0; b < hum.size(); ++b) {
                const SampleRange seen{b * blocks.hop, (b + together.looks - 1) * blocks.hop + blocks.length};
                if (hum[b] > 0.0 && hum[b] >= kLeastShare * mean_power(uv.subspan(seen.begin, seen.size()))) out.push_back(seen);
            }
        }
    }
    return widened(std::move(out), 0, uv.size());
}

bool missing_throughout(std::span<const float> part) {
    return std::all_of(part.begin(), part.end(), [](float v) { return std::isnan(v); });
}

bool touches(const Ranges& ranges, SampleRange range, std::size_t near) {
    return std::any_of(ranges.begin(), ranges.end(), [&](SampleRange r) { return r.begin <= range.end + near && range.begin <= r.end + near; });
}

}  // namespace

Ranges find_left_hum(std::span<const float> uv, std::span<const LineBlocks> at_50_and_60, const Ranges& open_hum) {
    const std::size_t hop = at_50_and_60.front().hop;
    Ranges sure = looks_with_hum(uv, at_50_and_60, 1.0);
    if (sure.empty() && open_hum.empty()) return {};
    sure.insert(sure.end(), open_hum.begin(), open_hum.end());
    Ranges out = looks_with_hum(uv, at_50_and_60, kBeside);
    std::erase_if(out, [&](SampleRange range) { return !touches(sure, range, hop); });
    out = widened(std::move(out), hop, uv.size());
    sure.insert(sure.end(), out.begin(), out.end());
    sure = widened(std::move(sure), 0, uv.size());
    for (std::size_t k = 1; k < sure.size(); ++k) {
        const SampleRange between{sure[k - 1].end, sure[k].begin};
        const bool is_short = time_of(between.size(), at_50_and_60.front().rate) < kTooShort_s;
        if (is_short && !missing_throughout(uv.subspan(between.begin, between.size()))) out.push_back(between);
    }
    return widened(std::move(out), 0, uv.size());
}

}  // namespace tracehold
