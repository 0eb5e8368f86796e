#include "cycles/exported_energies.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include "tracehold/statistics/summary.hpp"

namespace tracehold {

// Idea: an exported amplitude is the same rise seen through the recorder's window, so the same model places it once two
// things are known. How long is the window? Neighbouring values share samples: with white noise and a window w the squared
// difference of values t apart grows as min(1, t / w), and slow changes of the amplitude add to it in proportion to t: the w
// that fits best is taken. How much does a value tell? The log of the mean of n blocks has the variance
// 2 / (n v), and neighbouring stretches show what it is; v degrees of freedom a block then count for what noise, tremor and
// the recorder leave together. Medians, since most neighbours lie within one rest or one hold. Limits: whether the window
// looks back or to both sides cannot be seen; smoothing that is no moving mean is taken for one of like length.

namespace {

constexpr double kStepAsked_s = 0.01;
// Our choices.
constexpr double kLongest_s = 1.0;          // window that is looked for
// Differences are looked at from where activity is as if white up to beyond the longest window.
constexpr double kNearest_s = 0.05, kFarthest_s = 1.2;
constexpr std::array kSlow{0.0, 0.1, 0.2, 0.4};  // what slow changes of the amplitude add a second, in heights of the rest
constexpr double kStretch_s = 0.5;          // whose means are compared; longer ones see more of rise and fall
constexpr double kMostDegrees = 9.0;        // as many as the blocks of a raw trace have bins
constexpr double kOfGaussian = 1.4826;      // standard deviation over median size
constexpr double kSmallest = 1e-6;          // relative amplitude below which values are called equal

using Values = std::vector<double>;

// Means of so many squares together, for amplitudes sampled faster than every 10 ms.
Values averaged(std::span<const float> uv, std::size_t together) {
    Values power;
    for (std::size_t i = 0; i + together <= uv.size(); i += together) {
        double sum = 0.0;
        for (const float e : uv.subspan(i, together)) sum += static_cast<double>(e) * static_cast<double>(e);
        power.push_back(sum / static_cast<double>(together));
    }
    return power;
}

// The squared spread of differences of logarithms at a distance.
double squared_difference(const Values& logs, std::size_t apart) {
    Values sizes;
    for (std::size_t i = 0; i + apart < logs.size(); ++i) {
        const double size = std::abs(logs[i + apart] - logs[i]);
        if (std::isfinite(size)) sizes.push_back(size);
    }
    return sizes.empty() ? 1.0 : std::pow(std::max(kSmallest, kOfGaussian * median(sizes)), 2.0);
}

Values logs_of(const Values& power) {
    Values out;
    for (const double p : power) out.push_back(p > 0.0 ? std::log(p) : std::numeric_limits<double>::quiet_NaN());
    return out;
}

// What squared differences of values so far apart come to.
struct Difference {
    double apart_s = 0.0, size = 0.0;
};

// At about ten distances, four at least.
std::vector<Difference> differences(const Values& logs, double step_s) {
    const auto farthest = static_cast<std::size_t>(std::max(4.0, std::round(kFarthest_s / step_s)));
    std::vector<Difference> out;
    const auto nearest = static_cast<std::size_t>(std::max(1.0, std::round(kNearest_s / step_s)));
    for (std::size_t k = nearest; k <= farthest; k = std::max(k + 1, static_cast<std::size_t>(std::round(1.4 * static_cast<double>(k)))))
        out.push_back({static_cast<double>(k) * step_s, squared_difference(logs, k)});
    return out;
}

// How badly height * (min(1, t / window) + slow t), slow out of kSlow, fits the differences: least squares
// of what is off as a share of each.
double misfit(std::span<const Difference> seen, double window_s) {
    double least = std::numeric_limits<double>::infinity();
    for (const double slow : kSlow) {
        double cross = 0.0, square = 0.0;
        const auto shape = [&](const Difference& d) { return std::min(1.0, d.apart_s / window_s) + slow * d.apart_s; };
        for (const Difference& d : seen) cross += shape(d) / d.size, square += shape(d) * shape(d) / (d.size * d.size);
        double sum = 0.0;
        for (const Difference& d : seen) sum += std::pow(cross / square * shape(d) / d.size - 1.0, 2.0);
        least = std::min(least, sum);
    }
    return least;
}

// Length of the recorder's window, at least a step.
double window_s(const Values& power, double step_s) {
    const std::vector<Difference> seen = differences(logs_of(power), step_s);
    double best = step_s, least = misfit(seen, best);
    for (double window = step_s; window <= kLongest_s; window *= 1.05)
        if (const double sum = misfit(seen, window); sum < least) best = window, least = sum;
    return best;
}

double degrees_a_block(const Values& power, double step_s, double stretch_s) {
    const auto in_stretch = static_cast<std::size_t>(std::max(1.0, std::round(stretch_s / step_s)));
    Values means;
    for (std::size_t i = 0; i + in_stretch <= power.size(); i += in_stretch) {
        double sum = 0.0, valid = 0.0;
        for (std::size_t k = i; k < i + in_stretch; ++k)
            if (std::isfinite(power[k])) sum += power[k], valid += 1.0;
        const bool enough = 2.0 * valid >= static_cast<double>(in_stretch);
        means.push_back(enough ? sum / valid : std::numeric_limits<double>::quiet_NaN());
    }
    const double twice_variance = squared_difference(logs_of(means), 1);
    const double blocks = static_cast<double>(in_stretch) * step_s / kStepAsked_s;
    return std::min(kMostDegrees, 4.0 / (blocks * twice_variance));
}

}  // namespace

BlockEnergies exported_energies(std::span<const float> uv, Hertz rate) {
    const auto together = static_cast<std::size_t>(std::max(1.0, std::round(kStepAsked_s * rate.value)));
    const Values power = averaged(uv, together);
    const double step_s = static_cast<double>(together) / rate.value;
    BlockEnergies out{kStepAsked_s, 0.5 * static_cast<double>(together - 1) / rate.value, 0, {}, {}};
    if (power.size() < 2) return out;
    out.bins = 1;
    const double box_s = window_s(power, step_s);
    out.view = {box_s / kStepAsked_s, step_s / kStepAsked_s};
    out.degrees = degrees_a_block(power, step_s, std::max(kStretch_s, box_s));
    const double last = static_cast<double>(power.size() - 1);
    for (std::size_t b = 0; static_cast<double>(b) * kStepAsked_s <= last * step_s + 1e-9; ++b) {
        const double at = std::min(last, static_cast<double>(b) * kStepAsked_s / step_s);
        const auto before = static_cast<std::size_t>(std::min(at, last - 1.0));
        const double share = at - static_cast<double>(before);
        const double value = (share < 1.0 ? (1.0 - share) * power[before] : 0.0) + (share > 0.0 ? share * power[before + 1] : 0.0);
        out.valid.push_back(std::isfinite(value) ? 1 : 0);
        out.energy.push_back(std::isfinite(value) ? static_cast<float>(value) : 0.0F);
    }
    return out;
}

}  // namespace tracehold
