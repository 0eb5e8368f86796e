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

#include "tracehold/core/wide_lanes.hpp"

namespace tracehold {
namespace {

using Complex = std::complex<double>;

struct One {
    using Value = double;
};
struct Four {
    using Value = FourDoubles;
};

// The state of the filter for one q, or for four side by side.
template <class Of>
struct State {
    using Value = typename Of::Value;
    Value re{}, im{}, re_rate{}, im_rate{};
    // Symmetric 2 x 2: variances of a and v, and what they share. Real and imaginary parts are alike and independent.
    Value a{}, av{}, v{};
};

// Powers of ten of q, as a share of the mean square of the amplitude. Steady to wild; finer steps change little.
constexpr std::array<double, 8> kSteps = {1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2};
// Changes per look that are ordinary at the start: 0.1 Hz off at four looks a second.
constexpr double kStartRate = 0.025;

template <class Of>
[[gnu::always_inline]] inline void predict(State<Of>& s, const typename Of::Value& q) {
    s.re += s.re_rate;
    s.im += s.im_rate;
    s.a += 2 * s.av + s.v + q / 3;
    s.av += s.v + q / 2;
    s.v += q;
}

// Out: how far the look was from what was foretold, in its variance, which comes out as well.
template <class Of>
[[gnu::always_inline]] inline void update(State<Of>& s, const Look& look, typename Of::Value& surprise, typename Of::Value& variance) {
    using Value = typename Of::Value;
    variance = s.a + look.variance;
    const Value gain_a = s.a / variance, gain_v = s.av / variance;
    const Value re = look.amplitude.real() - s.re, im = look.amplitude.imag() - s.im;
    surprise = (re * re + im * im) / variance;
    s.re += gain_a * re, s.im += gain_a * im;
    s.re_rate += gain_v * re, s.im_rate += gain_v * im;
    s.v -= gain_v * s.av;
    s.a -= s.a * gain_a;
    s.av -= s.av * gain_a;
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

template <class Of>
[[gnu::always_inline]] inline State<Of> start(double power) {
    State<Of> out;
    out.a += power;
    out.v += kStartRate * power;
    return out;
}

// The log likelihood of the looks for four q at once. One logarithm for the product of four variances, which no amplitude in µV takes
// out of the range of a double.
TRACEHOLD_WIDE void add_evidence(std::span<const Look> looks, double power, const double* q, double* evidence) {
    State<Four> s = start<Four>(power);
    const FourDoubles noise = four_at(q);
    FourDoubles product = 1.0 - FourDoubles{}, surprises{};
    int factors = 0;
    const auto take_logs = [&] {
        for (std::size_t i = 0; i < 4; ++i) evidence[i] -= std::log(product[i]), product[i] = 1.0;
        factors = 0;
    };
    for (const Look& look : looks) {
        if (look.anew) s = start<Four>(power);
        if (look.variance > 0.0) {
            FourDoubles surprise, variance;
            update(s, look, surprise, variance);
            surprises += surprise;
            product *= variance;
            if (++factors == 4) take_logs();
        }
        predict(s, noise);
    }
    take_logs();
    for (std::size_t i = 0; i < 4; ++i) evidence[i] -= surprises[i];
}

LineCourse as_course(const State<One>& s) { return {{s.re, s.im}, {s.re_rate, s.im_rate}}; }

// filtered: state after its look; foretold: what it says of the next one; next: the smoothed successor.
LineCourse smoothed_back(const State<One>& f, const State<One>& foretold, const LineCourse& next) {
    const LineCourse filtered = as_course(f);
    const State<One>& p = foretold;
    const double determinant = p.a * p.v - p.av * p.av;
    if (!(determinant > 0.0)) return filtered;
    // C = spread F' predicted^-1, with F = [1 1; 0 1]
    const double top_a = f.a + f.av, top_v = f.av, low_a = f.av + f.v, low_v = f.v;
    const double i_a = p.v / determinant, i_av = -p.av / determinant, i_v = p.a / determinant;
    const Complex da = next.amplitude - Complex(p.re, p.im), dv = next.rate - Complex(p.re_rate, p.im_rate);
    return {filtered.amplitude + (top_a * i_a + top_v * i_av) * da + (top_a * i_av + top_v * i_v) * dv,
            filtered.rate + (low_a * i_a + low_v * i_av) * da + (low_a * i_av + low_v * i_v) * dv};
}

std::vector<LineCourse> smoothed_lines(std::span<const Look> looks, double power, double q) {
    std::vector<State<One>> before, after;
    before.reserve(looks.size());
    after.reserve(looks.size());
    State<One> s = start<One>(power);
    double surprise, variance;
    for (const Look& look : looks) {
        if (look.anew) s = start<One>(power);
        before.push_back(s);
        if (look.variance > 0.0) update(s, look, surprise, variance);
        after.push_back(s);
        predict(s, q);
    }
    std::vector<LineCourse> course(looks.size());
    for (std::size_t i = looks.size(); i-- > 0;) {
        const bool last = i + 1 == looks.size() || looks[i + 1].anew;
        course[i] = last ? as_course(after[i]) : smoothed_back(after[i], before[i + 1], course[i + 1]);
    }
    return course;
}

}  // namespace

SmoothLine smooth_line(std::span<const Look> looks, double least_evidence) {
    SmoothLine out;
    const double power = mean_square(looks);
    if (!(power > 0.0)) return out;
    double no_line = 0.0;
    for (const Look& look : looks) no_line += look.variance > 0.0 ? log_likelihood(look.amplitude, look.variance) : 0.0;
    std::array<double, kSteps.size()> q, evidence{};
    for (std::size_t i = 0; i < q.size(); ++i) q[i] = kSteps[i] * power;
    for (std::size_t i = 0; i < q.size(); i += 4) add_evidence(looks, power, &q[i], &evidence[i]);
    const auto best = std::max_element(evidence.begin(), evidence.end());
    out.evidence = *best - no_line;
    if (out.evidence >= least_evidence) out.course = smoothed_lines(looks, power, q[static_cast<std::size_t>(best - evidence.begin())]);
    return out;
}

}  // namespace tracehold
