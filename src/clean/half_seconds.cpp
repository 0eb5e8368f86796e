#include "clean/half_seconds.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

#include "clean/frames.hpp"
#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {
namespace {

constexpr double kHalf_s = 0.5;
constexpr std::size_t kLineBins = 2;  // on either side: what the Hann window makes of a tone
constexpr std::size_t kMost = BlockSpectra::kMost;

using Each = std::array<double, kMost>;  // one value a block

struct Bins {
    std::size_t first = 0, end = 0;
    Bins(Hertz low, Hertz high, double step_hz)
        : first(static_cast<std::size_t>(std::ceil(low.value / step_hz))), end(static_cast<std::size_t>(high.value / step_hz) + 1) {}
};

// Adds the squares of those bins, block by block.
TRACEHOLD_WIDE void add_bins(std::span<const double> squares, Bins bins, Each& sums) {
    FourDoubles some = four_at(&sums[0]), others = four_at(&sums[4]);
    for (std::size_t k = bins.first; k < bins.end; ++k) some += four_at(&squares[8 * k]), others += four_at(&squares[8 * k + 4]);
    four_at(&sums[0]) = some, four_at(&sums[4]) = others;
}

// Adds the squares of the blocks, each with its weight, to the power of each bin.
TRACEHOLD_WIDE void add_weighted(std::span<const double> squares, const Each& weights, std::span<double> power) {
    const FourDoubles some = four_at(&weights[0]), others = four_at(&weights[4]);
    for (std::size_t k = 0; k < power.size(); ++k) {
        const FourDoubles sum = four_at(&squares[8 * k]) * some + four_at(&squares[8 * k + 4]) * others;
        power[k] += (sum[0] + sum[1]) + (sum[2] + sum[3]);
    }
}

// The strongest bin of each block, and the sum of all; those without a mirror image count half.
TRACEHOLD_WIDE void strongest(std::span<const double> squares, std::size_t bins, std::size_t length, Each& at, Each& all) {
    for (std::size_t four = 0; four < 8; four += 4) {
        FourDoubles most{}, where{}, sum{};
        for (std::size_t k = 0; k < bins; ++k) {
            const double weight = k == 0 || 2 * k == length ? 0.5 : 1.0;
            const FourDoubles power = weight * four_at(&squares[8 * k + four]), here = static_cast<double>(k) - FourDoubles{};
            where = power > most ? here : where;
            most = power > most ? power : most;
            sum += power;
        }
        four_at(&at[four]) = where, four_at(&all[four]) = sum;
    }
}

// In: strongest and sum of that block.
double line_share(std::span<const double> squares, const BlockSpectra& spectra, std::size_t block, double strongest, double all) {
    const auto highest = static_cast<std::size_t>(strongest);
    double line = 0.0;
    for (std::size_t k = highest - std::min(highest, kLineBins); k < std::min(highest + kLineBins + 1, spectra.bins()); ++k)
        line += squares[kMost * k + block] * (spectra.is_alone(k) ? 0.5 : 1.0);
    return all > 0.0 ? line / all : 0.0;
}

// Takes what is asked of half seconds from each lot of spectra.
class Reader {
public:
    Reader(std::span<const float> uv, Hertz rate, BlockSpectra& spectra, HalfSeconds& out)
        : uv_(uv), rate_(rate), spectra_(spectra), out_(out), step_(out.samples - out.samples / 2) {
        out.spectrum.step_hz = rate.value / static_cast<double>(out.samples);
        power_.resize(spectra.bins());
    }

    void read(std::span<const std::size_t> begins, std::span<const double> squares) {
        Each overlapping{}, lower{}, upper{}, at{}, all{};
        for (std::size_t b = 0; b < begins.size(); ++b) overlapping[b] = spectra_.is_whole(b) && begins[b] % step_ == 0 ? 1.0 : 0.0;
        out_.spectrum.segments += static_cast<std::size_t>(std::count(overlapping.begin(), overlapping.end(), 1.0));
        add_weighted(squares, overlapping, power_);
        const double step_hz = out_.spectrum.step_hz, density = spectra_.density(rate_);
        const Bins low(kLowerBegin, kLowerEnd, step_hz), high(kUpperBegin, kUpperEnd, step_hz);
        const bool tell = high.end <= spectra_.bins();
        if (tell) add_bins(squares, low, lower), add_bins(squares, high, upper);
        strongest(squares, spectra_.bins(), spectra_.length(), at, all);
        for (std::size_t b = 0; b < begins.size(); ++b) {
            if (!spectra_.is_whole(b) || begins[b] % out_.samples != 0) continue;
            const double per_lower = density / static_cast<double>(low.end - low.first), per_upper = density / static_cast<double>(high.end - high.first);
            out_.whole.push_back({begins[b], mean_power(uv_.subspan(begins[b], out_.samples)), per_lower * lower[b], per_upper * upper[b],
                                  line_share(squares, spectra_, b, at[b], all[b])});
        }
    }

    void finish() {
        if (out_.spectrum.segments == 0) return;
        const double density = spectra_.density(rate_) / static_cast<double>(out_.spectrum.segments);
        for (std::size_t k = 0; k < power_.size(); ++k) power_[k] *= spectra_.is_alone(k) ? density / 2 : density;
        out_.spectrum.uv2_per_hz = std::move(power_);
    }

private:
    std::span<const float> uv_;
    Hertz rate_;
    BlockSpectra& spectra_;
    HalfSeconds& out_;
    std::size_t step_;
    std::vector<double> power_;
};

// Half seconds that overlap by half and those that stand side by side; with an odd number of samples these are others.
std::vector<std::size_t> begins_of(std::size_t size, std::size_t samples) {
    const auto overlapping = begins_of_blocks(size, samples, samples - samples / 2), beside = begins_of_blocks(size, samples, samples);
    std::vector<std::size_t> out;
    std::set_union(overlapping.begin(), overlapping.end(), beside.begin(), beside.end(), std::back_inserter(out));
    return out;
}

}  // namespace

std::vector<HalfSecond> loud_ones(const HalfSeconds& halves, double loud_uv) {
    constexpr double kLoudShare = 0.5;
    std::vector<HalfSecond> loud = halves.whole;
    std::erase_if(loud, [&](const HalfSecond& half) { return !(half.power > kLoudShare * kLoudShare * loud_uv * loud_uv); });
    return loud;
}

// The blocks that lines are seen in are mostly the same; at some rates they are a little shorter, for a quick transform.
HalfSeconds look_at_half_seconds(std::span<const float> uv, Hertz rate, Hertz highest) {
    HalfSeconds out;
    out.samples = static_cast<std::size_t>(std::lround(kHalf_s * rate.value));
    out.hum = empty_line_blocks(uv.size(), rate, kMains_hz, highest);
    const bool alike = out.samples == out.hum.front().length;
    if (!alike) out.hum = line_blocks(uv, rate, kMains_hz, highest);
    if (out.samples < 2) return out;
    BlockSpectra& spectra = block_spectra(out.samples);
    Reader reader(uv, rate, spectra, out);
    take_all(spectra, uv, begins_of(uv.size(), out.samples), [&](auto& begins) {
        const auto squares = spectra.squares();
        if (alike) add_blocks(spectra, squares, begins.size(), out.hum);
        reader.read(begins, squares);
    });
    reader.finish();
    return out;
}

}  // namespace tracehold
