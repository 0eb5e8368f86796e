// The amplitude a and its rate v (per look) follow
//   a' = a + v,  v' = v + noise of variance q,  look = a + noise of the look's variance.
// A Kalman filter runs forward, a Rauch-Tung-Striebel smoother back. Looks taken in strong muscle activity carry a
// large variance and so hardly count: the rests decide, and a contraction costs nothing. The likelihood of the forward
// run chooses q from a grid: a steady hum is averaged over minutes, a wobbling one over a second. Source: Rauch, Tung &
// Striebel 1965; the noise of an integrated random walk as in any text on tracking.
#include "clean/line_smoother.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace tracehold {
namespace {

using Complex = std::complex<double>;

// Symmetric 2 x 2: variances of a and v, and what they share. Real and imaginary parts are alike and independent.
struct Spread {
    double a = 0.0, av = 0.0, v = 0.0;
};

struct State {
    LineCourse mean;
    Spread spread;
};

// Powers of ten of q, as a share of the mean square of the amplitude. Steady to wild; finer steps change little.
constexpr std::array<double, 8> kSteps = {1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2};
// Changes per look that are ordinary at the start: 0.1 Hz off at four looks a second.
constexpr double kStartRate = 0.025;

State predicted(const State& s, double q) {
    State out;
    out.mean = {s.mean.amplitude + s.mean.rate, s.mean.rate};
    out.spread.a = s.spread.a + 2 * s.spread.av + s.spread.v + q / 3;
    out.spread.av = s.spread.av + s.spread.v + q / 2;
    out.spread.v = s.spread.v + q;
    return out;
}

State updated(const State& s, const Look& look) {
    const double total = s.spread.a + look.variance;
    const double gain_a = s.spread.a / total, gain_v = s.spread.av / total;
    const Complex surprise = look.amplitude - s.mean.amplitude;
    State out;
    out.mean = {s.mean.amplitude + gain_a * surprise, s.mean.rate + gain_v * surprise};
    out.spread.a = s.spread.a * (1 - gain_a);
    out.spread.av = s.spread.av * (1 - gain_a);
    out.spread.v = s.spread.v - gain_v * s.spread.av;
    return out;
}

double log_likelihood(Complex surprise, double variance) {
    return -std::log(variance) - std::norm(surprise) / variance;
}

double mean_square(std::span<const Look> looks) {
    double sum = 0.0, weight = 0.0;
    for (const Look& look : looks) {
        if (look.variance <= 0.0) continue;
        sum += std::norm(look.amplitude) / look.variance;
        weight += 1.0 / look.variance;
    }
    return weight > 0.0 ? sum / weight : 0.0;
}

State start(double power) { return {{}, {power, 0.0, kStartRate * power}}; }

// Forward; visit(predicted, filtered) after each look.
template <class Visit>
double run_forward(std::span<const Look> looks, double power, double q, Visit visit) {
    double evidence = 0.0;
    State before = start(power);
    for (const Look& look : looks) {
        State now = before;
        if (look.variance > 0.0) {
            evidence += log_likelihood(look.amplitude - before.mean.amplitude, before.spread.a + look.variance);
            now = updated(before, look);
        }
        visit(before, now);
        before = predicted(now, q);
    }
    return evidence;
}

// filtered: state after its look; next_predicted: what it foretold; next: the smoothed successor.
LineCourse smoothed_back(const State& filtered, const State& next_predicted, const LineCourse& next) {
    const Spread& f = filtered.spread;
    const Spread& p = next_predicted.spread;
    const double determinant = p.a * p.v - p.av * p.av;
    if (!(determinant > 0.0)) return filtered.mean;
    // C = spread F' predicted^-1, with F = [1 1; 0 1]
    const double top_a = f.a + f.av, top_v = f.av, low_a = f.av + f.v, low_v = f.v;
    const double i_a = p.v / determinant, i_av = -p.av / determinant, i_v = p.a / determinant;
    const Complex da = next.amplitude - next_predicted.mean.amplitude, dv = next.rate - next_predicted.mean.rate;
    return {filtered.mean.amplitude + (top_a * i_a + top_v * i_av) * da + (top_a * i_av + top_v * i_v) * dv,
            filtered.mean.rate + (low_a * i_a + low_v * i_av) * da + (low_a * i_av + low_v * i_v) * dv};
}

}  // namespace

SmoothLine smooth_line(std::span<const Look> looks) {
    SmoothLine out;
    const double power = mean_square(looks);
    if (!(power > 0.0)) {
        out.course.resize(looks.size());
        return out;
    }
    double best_q = 0.0, no_line = 0.0;
    for (const Look& look : looks) no_line += look.variance > 0.0 ? log_likelihood(look.amplitude, look.variance) : 0.0;
    out.evidence = -INFINITY;
    for (const double step : kSteps) {
        const double evidence = run_forward(looks, power, step * power, [](const State&, const State&) {});
        if (evidence <= out.evidence) continue;
        out.evidence = evidence;
        best_q = step * power;
    }
    out.evidence -= no_line;
    std::vector<State> before, after;
    before.reserve(looks.size());
    after.reserve(looks.size());
    run_forward(looks, power, best_q, [&](const State& b, const State& a) {
        before.push_back(b);
        after.push_back(a);
    });
    out.course.resize(looks.size());
    out.course.back() = after.back().mean;
    for (std::size_t i = looks.size() - 1; i-- > 0;)
        out.course[i] = smoothed_back(after[i], before[i + 1], out.course[i + 1]);
    return out;
}

}  // namespace tracehold
