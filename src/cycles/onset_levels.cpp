#include "cycles/onset_levels.hpp"

#include <algorithm>
#include <cmath>

namespace tracehold {

// Idea: levels are mean energies, and what one contraction cannot say alone it borrows from the session. With n blocks
// the log of a mean energy has the variance 2 / n; what contractions differ by beyond that, t2, decides how far each is
// drawn to the mean:
//     x_k -> mean + (x_k - mean) t2 / (t2 + 2 / n),   t2 = max(0, variance between - 2 / n)
// Rest N is taken per bin. Activity is one spectrum G for the session times a gain e^g per contraction and side, g by
// maximum likelihood in [-2, 2] and drawn to the mean by its curvature. Rest may creep towards the rise: a line in
// time, pooled over the session, in units of G, kept only as far as its own error allows (1 - 2 / z2 of it, z2 = c'
// C^-1 c with the sandwich C). Limits: one spectrum of activity for all contractions; creep alike in all of them.

namespace {

constexpr double kVarianceOfLog = 2.0;    // times 1 / n: of the log mean of n blocks, one degree of freedom each
constexpr double kLeastActivity = 0.001;  // of mean rest
constexpr double kGainLimit = 2.0;
constexpr double kCreepDecay_s = 1.2;     // how fast rest further away counts less for the line
constexpr double kCreepUntil_s = 0.15;    // the line goes on this long past the anchor
constexpr double kLeastForCreep_s = 1.0;  // of rest: shorter ones hold the neighbour's ramp as well
// What chance alone gives on average, of a chi-square with two degrees of freedom. More would spare single faint
// contractions a few ms and claim far too early where rest does creep.
constexpr double kCreepDoubt = 2.0;
// Neighbouring energies share samples: the variance of sums is twice that of independent ones
constexpr double kOverlap = 2.0;

struct WindowMean {
    std::vector<double> mean;
    double n = 0.0;
};

WindowMean window_mean(const OrderedBlocks& e, BlockRange range, const RelativeEnergy* without_bursts) {
    WindowMean out{std::vector<double>(e.bins, 0.0), 0.0};
    for (std::size_t b = range.begin; b < range.end; ++b) {
        if (!e.is_valid(b)) continue;
        if (without_bursts && without_bursts->stands_out(e.at(b))) continue;
        for (std::size_t k = 0; k < e.bins; ++k) out.mean[k] += static_cast<double>(e.at(b)[k]);
        out.n += 1.0;
    }
    for (double& m : out.mean) m /= std::max(1.0, out.n);
    return out;
}

// Values with their own error variances, drawn to their weighted mean by what they differ beyond chance.
struct Shrinkage {
    double mean = 0.0;
    double spread2 = 0.0;
};

Shrinkage spread_of(std::span<const double> values, std::span<const double> variances) {
    Shrinkage out;
    double weights = 0.0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        out.mean += values[i] / variances[i];
        weights += 1.0 / variances[i];
    }
    out.mean /= weights;
    if (values.size() < 2) return out;
    double squares = 0.0, noise = 0.0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double share = 1.0 / variances[i] / weights;
        squares += share * (values[i] - out.mean) * (values[i] - out.mean);
        noise += share * variances[i];
    }
    const double n = static_cast<double>(values.size());
    out.spread2 = squares * n / (n - 1.0) - noise;
    return out;
}

double drawn(double value, double variance, double mean, double spread2) {
    return mean + (value - mean) * spread2 / (spread2 + variance);
}

// Rest per contraction and bin. Windows without a block take the session's level.
std::vector<std::vector<double>> rest_levels(const OrderedBlocks& e, const SessionRest& rest,
                                             std::span<const Side> sides) {
    constexpr double kFewestBlocks = 15.0;  // blocks; a shorter stretch is more edge than rest
    const RelativeEnergy relative(rest);
    std::vector<WindowMean> windows;
    std::vector<double> variances;
    for (const Side& side : sides) {
        WindowMean w = window_mean(e, side.rest, &relative);
        if (w.n < kFewestBlocks) w = {rest.level, kFewestBlocks};
        for (std::size_t k = 0; k < e.bins; ++k) w.mean[k] = std::log(std::max(w.mean[k], 1e-3 * rest.level[k]));
        variances.push_back(kVarianceOfLog / (w.n * e.degrees));
        windows.push_back(std::move(w));
    }
    std::vector<double> centre(e.bins);
    double spread2 = 0.0;
    for (std::size_t k = 0; k < e.bins; ++k) {
        std::vector<double> logs;
        for (const WindowMean& w : windows) logs.push_back(w.mean[k]);
        const Shrinkage s = spread_of(logs, variances);
        centre[k] = s.mean;
        spread2 += s.spread2 / static_cast<double>(e.bins);
    }
    spread2 = sides.size() < 2 ? 1.0 : std::max(0.0, spread2);
    std::vector<std::vector<double>> out;
    for (std::size_t i = 0; i < windows.size(); ++i) {
        std::vector<double> level;
        for (std::size_t k = 0; k < e.bins; ++k)
            level.push_back(std::exp(drawn(windows[i].mean[k], variances[i], centre[k], spread2)));
        out.push_back(std::move(level));
    }
    return out;
}

std::vector<double> shared_activity(std::span<const WindowMean> plateaus, std::span<const std::vector<double>> rests) {
    const std::size_t bins = rests.front().size();
    std::vector<double> activity(bins, 0.0);
    double rest = 0.0;
    for (std::size_t k = 0; k < bins; ++k) {
        for (std::size_t i = 0; i < rests.size(); ++i) {
            activity[k] += (plateaus[i].mean[k] - rests[i][k]) / static_cast<double>(rests.size());
            rest += rests[i][k] / static_cast<double>(rests.size() * bins);
        }
    }
    for (double& a : activity) a = std::max(a, kLeastActivity * rest);
    return activity;
}

struct Gain {
    double value = 0.0;
    double variance = 1.0;
};

// Maximum likelihood of the log gain by golden section; its variance from the expected curvature.
Gain likeliest_gain(const WindowMean& plateau, std::span<const double> rest, std::span<const double> activity,
                    std::span<const double> weight) {
    const auto loss = [&](double g) {
        const double gain = std::exp(g);
        double sum = 0.0;
        for (std::size_t k = 0; k < rest.size(); ++k) {
            const double v = rest[k] + gain * activity[k];
            sum += weight[k] * (std::log(v) + plateau.mean[k] / v);
        }
        return sum;
    };
    constexpr double kGolden = 0.6180339887498949;
    double low = -kGainLimit, high = kGainLimit;
    double left = high - kGolden * (high - low), right = low + kGolden * (high - low);
    double at_left = loss(left), at_right = loss(right);
    for (int i = 0; i < 30; ++i) {
        if (at_left < at_right) {
            high = right, right = left, at_right = at_left;
            at_left = loss(left = high - kGolden * (high - low));
        } else {
            low = left, left = right, at_left = at_right;
            at_right = loss(right = low + kGolden * (high - low));
        }
    }
    Gain gain{0.5 * (low + high), 0.0};
    double information = 1e-6;
    for (std::size_t k = 0; k < rest.size(); ++k) {
        const double a = std::exp(gain.value) * activity[k];
        information += 0.5 * plateau.n * weight[k] * std::pow(a / (rest[k] + a), 2.0);
    }
    gain.variance = 1.0 / information;
    return gain;
}

std::vector<double> shrunk_gains(std::span<const Gain> gains) {
    std::vector<double> values, variances;
    for (const Gain& g : gains) {
        values.push_back(g.value);
        variances.push_back(g.variance);
    }
    const Shrinkage s = spread_of(values, variances);
    const double spread2 = gains.size() < 2 ? 1.0 : std::max(0.0, s.spread2);
    for (std::size_t i = 0; i < values.size(); ++i) values[i] = drawn(values[i], variances[i], s.mean, spread2);
    return values;
}

// Sums of the weighted least-squares line y = c0 + c1 t and of its residuals.
struct LineFit {
    double s0 = 0.0, s1 = 0.0, s2 = 0.0, y0 = 0.0, y1 = 0.0;
    std::vector<std::array<double, 3>> points;  // t, y, weight

    void add(double t, double y, double w) {
        s0 += w, s1 += w * t, s2 += w * t * t, y0 += w * y, y1 += w * t * y;
        points.push_back({t, y, w});
    }
};

struct Creep {
    double level = 0.0;
    double slope = 0.0;
};

// The line, shrunk by its own sandwich covariance.
Creep trusted_line(const LineFit& fit) {
    const double det = fit.s0 * fit.s2 - fit.s1 * fit.s1;
    if (fit.points.size() < 20 || !(det > 1e-9 * fit.s0 * fit.s2)) return {};
    const double c0 = (fit.s2 * fit.y0 - fit.s1 * fit.y1) / det, c1 = (fit.s0 * fit.y1 - fit.s1 * fit.y0) / det;
    double m00 = 0.0, m01 = 0.0, m11 = 0.0;
    for (const auto& [t, y, w] : fit.points) {
        const double r2 = kOverlap * w * w * std::pow(y - c0 - c1 * t, 2.0);
        m00 += r2, m01 += r2 * t, m11 += r2 * t * t;
    }
    // z2 = c' B M^-1 B c with B the normal matrix: u = B c is (y0, y1).
    const double meat = m00 * m11 - m01 * m01;
    if (!(meat > 0.0)) return {};
    const double z2 = (fit.y0 * fit.y0 * m11 - 2.0 * fit.y0 * fit.y1 * m01 + fit.y1 * fit.y1 * m00) / meat;
    const double trust = std::max(0.0, 1.0 - kCreepDoubt / std::max(z2, 1e-12));
    return {trust * c0, trust * c1};
}

Creep pooled_creep(const OrderedBlocks& e, const SessionRest& rest, std::span<const Side> sides,
                   std::span<const std::vector<double>> rests, std::span<const double> activity) {
    const RelativeEnergy relative(rest);
    LineFit fit;
    for (std::size_t i = 0; i < sides.size(); ++i) {
        if (static_cast<double>(sides[i].rest.size()) * e.hop_s < kLeastForCreep_s) continue;
        double scale = 0.0;
        std::vector<double> w;
        for (std::size_t k = 0; k < e.bins; ++k) {
            w.push_back(rest.weight[k] * activity[k] / (rests[i][k] * rests[i][k]));
            scale += w[k] * activity[k];
        }
        for (double& share : w) share /= scale;
        for (std::size_t b = sides[i].rest.begin; b < sides[i].rest.end; ++b) {
            if (!e.is_valid(b) || relative.stands_out(e.at(b))) continue;
            double y = 0.0;
            for (std::size_t k = 0; k < e.bins; ++k)
                y += w[k] * (static_cast<double>(e.at(b)[k]) - rests[i][k]);
            const double t = static_cast<double>(b) - sides[i].anchor;
            fit.add(t, y, std::exp(-std::abs(t) * e.hop_s / kCreepDecay_s));
        }
    }
    return trusted_line(fit);
}

}  // namespace

std::vector<SideLevels> estimate_levels(const OrderedBlocks& e, const SessionRest& rest, std::span<const Side> sides) {
    std::vector<SideLevels> out;
    if (sides.empty()) return out;
    const std::vector<std::vector<double>> rests = rest_levels(e, rest, sides);
    std::vector<WindowMean> plateaus;
    for (const Side& side : sides) plateaus.push_back(window_mean(e, side.plateau, nullptr));
    const std::vector<double> activity = shared_activity(plateaus, rests);
    std::vector<Gain> gains;
    for (std::size_t i = 0; i < sides.size(); ++i)
        gains.push_back(likeliest_gain(plateaus[i], rests[i], activity, rest.weight));
    const std::vector<double> log_gains = shrunk_gains(gains);
    const Creep creep = pooled_creep(e, rest, sides, rests, activity);
    for (std::size_t i = 0; i < sides.size(); ++i) {
        SideLevels s{rests[i],        activity,    activity,    rest.weight,
                     sides[i].anchor, creep.level, creep.slope, kCreepUntil_s / e.hop_s};
        for (double& a : s.activity) a *= std::exp(log_gains[i]);
        out.push_back(std::move(s));
    }
    return out;
}

}  // namespace tracehold
