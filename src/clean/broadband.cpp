// Each half second has a density D in the lower and E in the upper range. Muscle of density m adds m and r m, white
// noise of density w adds w to both: w = (E - r D) / (1 - r), m = (D - E) / (1 - r). r is read from the loud parts,
// which hold little noise. Source: our derivation; muscle's density falls with the fourth power of frequency above 120
// Hz (Shwedyk 1977, Stulen & De Luca 1981, as muscle_density in the tests).
#include "clean/broadband.hpp"

#include <algorithm>
#include <cmath>

#include "clean/frames.hpp"

namespace tracehold {
namespace {

constexpr double kLoudBlock = 0.25;  // of the power that the loudest 3 % reach
constexpr std::size_t kLeastLoud = 10;
constexpr double kMuscle =
    0.3;  // E / D of loud parts: of limb muscle up to 0.1 (open recordings); above, they are no muscle
constexpr double kAboveQuiet = 4.0;     // times the power of the lower decile
constexpr std::size_t kHalfSecondsBeside = 5;  // half seconds either side that are looked at together
// Our choices. Recorders have 0.5 to 0.8 µV; of open limb recordings one in 31 has more than this in a quarter of its
// rest.
constexpr double kLeastNoise_uv = 1.5, kLeastShare = 0.25;
constexpr std::size_t kFewestAtRest = 10;  // half seconds of rest
constexpr double kOnly = 0.8;        // median of E / D; of noise alone 0.9 and more, for the band ends at 450 Hz
constexpr double kEachOnly = 0.35;   // E / D of each: chance makes a sixth more or less
constexpr std::size_t kFewestOnly = 40;
constexpr double kAboveUsualNoise = 4.0;  // times the power that noise has at rest elsewhere

// From the first to the last of each run for which that is so, of `fewest` at least.
template <class IsSo>
Ranges runs(std::span<const HalfSecond> among, std::size_t samples, std::size_t fewest, IsSo is_so) {
    Ranges out;
    for (const SampleRange run : ranges_where(among.size(), is_so))
        if (run.size() >= fewest) out.push_back({among[run.begin].begin, among[run.end - 1].begin + samples});
    return out;
}

// The median of what `value` says, over each of those and its neighbours.
template <class Value>
std::vector<double> usual(std::span<const HalfSecond> among, Value value) {
    std::vector<float> values;
    for (const HalfSecond& h : among) values.push_back(static_cast<float>(value(h)));
    std::vector<double> out;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const std::size_t begin = i - std::min(i, kHalfSecondsBeside), end = std::min(i + kHalfSecondsBeside + 1, values.size());
        out.push_back(valid_quantile(std::span(values).subspan(begin, end - begin), 0.5));
    }
    return out;
}

// The median over those that lie in none of the ranges, or in one if `inside`.
template <class Value>
double median_of(std::span<const HalfSecond> among, const Ranges& ranges, bool inside, Value value) {
    std::vector<float> values;
    for (const HalfSecond& h : among) {
        const bool is_in = std::any_of(ranges.begin(), ranges.end(),
                                       [&](SampleRange r) { return h.begin >= r.begin && h.begin < r.end; });
        if (is_in == inside) values.push_back(static_cast<float>(value(h)));
    }
    return valid_quantile(values, 0.5);
}

}  // namespace

NoiseInMuscle::NoiseInMuscle(const HalfSeconds& halves, Hertz low, Hertz high) : halves_(halves), band_hz_(high.value - low.value) {
    if (low > kLowerBegin || high < kUpperEnd) return;
    std::vector<float> lower, shares;
    for (const HalfSecond& h : halves.whole) lower.push_back(static_cast<float>(h.lower));
    quiet_ = valid_quantile(lower, 0.1);
    const double loud = kLoudBlock * valid_quantile(lower, 0.97);
    for (const HalfSecond& h : halves.whole)
        if (h.lower > loud) shares.push_back(static_cast<float>(h.upper / h.lower));
    const double share = valid_quantile(shares, 0.5);
    if (shares.size() >= kLeastLoud && share < kMuscle) muscle_ = share;
}

std::vector<HalfSecond> NoiseInMuscle::at_rest() const {
    std::vector<HalfSecond> rest = halves_.whole;
    std::erase_if(rest, [&](const HalfSecond& h) { return h.lower - h.upper > kAboveQuiet * quiet_ * (1.0 - *muscle_); });
    return rest;
}

Broadband find_broadband(const NoiseInMuscle& noise_in) {
    Broadband out;
    if (!noise_in.tell()) return out;
    const std::vector<HalfSecond> rest = noise_in.at_rest();
    const auto noise = [&](const HalfSecond& h) { return noise_in.power(h); };
    const auto power = [](const HalfSecond& h) { return h.power; };
    const std::vector<double> noises = usual(rest, noise), powers = usual(rest, power);
    out.spans = runs(rest, noise_in.halves().samples, kFewestAtRest, [&](std::size_t i) {
        return noises[i] > kLeastNoise_uv * kLeastNoise_uv && noises[i] > kLeastShare * powers[i];
    });
    if (out.spans.empty()) return out;
    const double inside = median_of(rest, out.spans, true, noise);
    out.uv = std::sqrt(std::max(0.0, inside));
    out.share = std::min(1.0, inside / median_of(rest, out.spans, true, power));
    return out;
}

Ranges find_only_broadband(const NoiseInMuscle& noise_in, std::size_t size) {
    if (!noise_in.tell()) return {};
    const HalfSeconds& halves = noise_in.halves();
    const auto share = [](const HalfSecond& h) { return h.upper / h.lower; };
    Ranges only = runs(halves.whole, halves.samples, kFewestOnly, [&](std::size_t i) { return share(halves.whole[i]) > kEachOnly; });
    std::erase_if(only, [&](SampleRange run) { return median_of(halves.whole, {run}, true, share) < kOnly; });
    const auto noise = [&](const HalfSecond& h) { return noise_in.power(h); };
    if (only.empty() || median_of(noise_in.at_rest(), only, true, noise) <
                            kAboveUsualNoise * median_of(noise_in.at_rest(), only, false, noise))
        return {};
    return widened(std::move(only), halves.samples, size);
}

}  // namespace tracehold
